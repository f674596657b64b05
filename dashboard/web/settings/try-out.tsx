import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault } from '../api.ts';
import { fromLocalField } from '../words/site-time.ts';
import { Comparison } from './comparison.tsx';
import { followStudy, type Question, type StudyNow } from './follow-study.ts';
import { SuggestionShown } from './suggestion-shown.tsx';
import { expectedEffect } from './tally-words.ts';
import { TradeOffChart } from './trade-off-chart.tsx';

interface Props {
  readonly settings: Settings;
  readonly site: Site;
  /** Told what the settings, as JSON, were found to do. */
  readonly onExpected: (of: string, text: string) => void;
  readonly onTake: (settings: Settings) => void;
}

/** Tries the proposed settings on the stored history. */
export function TryOut({ settings, site, onExpected, onTake }: Props): JSX.Element {
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const [target, setTarget] = useState('0.3');
  /** The target of the study that runs or was answered. */
  const [asked, setAsked] = useState(0);
  const [now, setNow] = useState<StudyNow | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const running = useRef<AbortController | null>(null);

  const start = async (kind: Question['kind']): Promise<void> => {
    running.current?.abort();
    const control = new AbortController();
    running.current = control;
    setFault(null);
    setNow({ id: '', state: 'running', share: 0, points: [], answer: null, fault: null });
    const iso = (text: string): string | null => {
      const ms = fromLocalField(text === '' ? '' : `${text}T00:00`, site.timezone);
      return ms === null ? null : new Date(ms).toISOString();
    };
    const targetPerGunYear = kind === 'suggest' ? Number(target.replace(',', '.')) : null;
    setAsked(targetPerGunYear ?? 0);
    try {
      const end = await followStudy(
        { kind, proposed: settings, from: iso(from), to: iso(to), targetPerGunYear },
        (step) => {
          if (running.current === control) setNow(step);
        },
        control.signal,
      );
      if (running.current !== control) return;
      if (end.fault !== null) setFault(end.fault);
      if (end.answer?.kind === 'compare')
        onExpected(
          JSON.stringify(settings),
          expectedEffect(end.answer.report.present.total, end.answer.report.proposed.total),
        );
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      if (running.current === control) {
        setFault(error.message);
        setNow(null);
      }
    }
  };
  const isRunning = now?.state === 'running';
  const answer = now?.answer ?? null;
  return (
    <section aria-label="Try on the past">
      <h2>Try on the past</h2>
      <p class="soft">
        The same code as live runs over the stored spray runs and is set against what the log and the judgements say was
        found. Nothing changes.
      </p>
      <div class="look-row">
        <label>
          From <input type="date" value={from} onInput={(event) => setFrom(event.currentTarget.value)} />
        </label>
        <label>
          up to <input type="date" value={to} onInput={(event) => setTo(event.currentTarget.value)} />
        </label>
        <span class="soft">empty: all there is; days of {site.timezone}</span>
      </div>
      <div class="look-row no-print">
        <button type="button" class="button" disabled={isRunning} onClick={() => void start('compare')}>
          Compare with what holds
        </button>
        <button type="button" class="button" disabled={isRunning} onClick={() => void start('curve')}>
          Draw the trade-off
        </button>
        <label>
          Suggest for at most{' '}
          <input
            class="narrow"
            inputMode="decimal"
            value={target}
            onInput={(event) => setTarget(event.currentTarget.value)}
          />{' '}
          false alarms per gun and year
        </label>
        <button type="button" class="button" disabled={isRunning} onClick={() => void start('suggest')}>
          Suggest
        </button>
      </div>
      <div role="status">
        {isRunning && (
          <p class="look-row">
            <progress max={1} value={now.share} aria-label="How far the study has come" />
            {Math.round(now.share * 100)} %
            <button
              type="button"
              class="button"
              onClick={() => {
                running.current?.abort();
                running.current = null;
                setNow(null);
              }}
            >
              Cancel
            </button>
          </p>
        )}
      </div>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {answer?.kind === 'compare' && <Comparison report={answer.report} site={site} />}
      {answer?.kind === 'suggest' && <SuggestionShown suggestion={answer.suggestion} target={asked} onTake={onTake} />}
      {now !== null && (answer?.kind === 'curve' || answer?.kind === 'suggest' || now.points.length > 0) && (
        <TradeOffChart
          points={answer === null ? now.points : answer.kind === 'compare' ? [] : answer.points}
          present={answer?.kind === 'curve' ? answer.present : null}
          proposed={answer?.kind === 'curve' ? answer.proposed : null}
          onTake={(point) => onTake(point.settings)}
        />
      )}
    </section>
  );
}
