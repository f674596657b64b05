import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { CurvePoint, StudyAnswer } from '../../../analyzer/index.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { mayDo } from '../sign-in/me.ts';
import { fromLocalField } from '../words/local-field.ts';
import { asSentence } from '../words/sentence.ts';
import { day, withLocalTimes } from '../words/site-time.ts';
import { Comparison } from './comparison.tsx';
import { askStudy, type Question } from './follow-study.ts';
import { OpenedStudy } from './opened-study.tsx';
import { sendBundle } from './send-bundle.ts';
import { SteadyButton } from './steady-button.tsx';
import { OpenStudy, SaveStudy } from './study-file.tsx';
import { StudyProgressBar } from './study-progress-bar.tsx';
import { SuggestionShown } from './suggestion-shown.tsx';
import { expectedEffect } from './tally-words.ts';
import { TradeOffChart } from './trade-off-chart.tsx';
import { keyOf } from './trade-off-table.tsx';
import { useStudy } from './use-study.ts';

interface Props {
  readonly settings: Settings;
  readonly site: Site;
  /** Told what the settings, as JSON, were found to do. */
  readonly onExpected: (of: string, text: string) => void;
  readonly onTake: (settings: Settings) => void;
}

/** As the API takes it. */
const MOST_TARGET = 50;

/** What is typed as a target; null when it is no number in its range. */
function targetOf(text: string): number | null {
  const value = Number(text.replace(',', '.'));
  return text.trim() === '' || !(value >= 0 && value <= MOST_TARGET) ? null : value;
}

/** Tries the proposed settings on the stored history. */
export function TryOut({ settings, site, onExpected, onTake }: Props): JSX.Element {
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const [target, setTarget] = useState('0.3');
  /** What the study that runs or was answered was asked of; null for one of a file. */
  const [asked, setAsked] = useState<{ readonly settings: string; readonly target: number } | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const { now, fault, run, cancel } = useStudy();
  /** What the running study was begun with: who cancels it by keys goes on there. */
  const begunWith = useRef<Element | null>(null);
  const text = JSON.stringify(settings);

  const start = async (kind: Question['kind']): Promise<void> => {
    const [begin, before] = [from, to].map((one) => fromLocalField(one === '' ? '' : `${one}T00:00`, site.timezone));
    const iso = (ms: number | null | undefined): string | null => (ms == null ? null : new Date(ms).toISOString());
    const targetPerGunYear = kind === 'suggest' ? targetOf(target) : null;
    const isWrong = kind === 'suggest' && targetPerGunYear === null;
    setWrong(isWrong ? `found "${target}", expected false alarms per gun and year from 0 to ${MOST_TARGET}` : null);
    if (isWrong) return;
    begunWith.current = document.activeElement;
    setAsked({ settings: text, target: targetPerGunYear ?? 0 });
    const question = { kind, proposed: settings, from: iso(begin), to: iso(before), targetPerGunYear };
    const study = await run(() => askStudy(question));
    const answered = study?.answer ?? null;
    if (answered?.kind !== 'compare' && answered?.kind !== 'curve') return;
    const { present, proposed } = answered.kind === 'compare' ? answered.report : answered;
    const told = (ms: number): string => day(ms, site, Number.POSITIVE_INFINITY);
    const over = [
      ...(begin == null ? [] : [` from ${told(begin)}`]),
      ...(before == null ? (begin == null ? [] : [' on']) : [` up to before ${told(before)}`]),
    ].join('');
    onExpected(text, expectedEffect(present.total, proposed.total, over));
  };
  const open = async (file: File): Promise<void> => {
    begunWith.current = document.activeElement;
    setAsked(null);
    setWrong(null);
    await run((tell, signal) => sendBundle(file, tell, signal));
  };
  const end = (): void => {
    cancel();
    if (begunWith.current instanceof HTMLElement) begunWith.current.focus();
  };
  const found = wrong ?? fault;
  const told = found === null ? null : asSentence(withLocalTimes(found, site));
  const isRunning = now?.state === 'running';
  const answer = now?.answer ?? null;
  return (
    // On paper it says something once something was tried.
    <section aria-label="Try on the past" class={answer === null ? 'no-print' : undefined}>
      <h2>Try on the past</h2>
      <p class="soft">
        The same code as live runs over the stored spray runs and is set against what the log and the judgements say was
        found. Nothing changes.
      </p>
      <div class="look-row trial-span">
        <label>
          From <input type="date" value={from} onInput={(event) => setFrom(event.currentTarget.value)} />
        </label>
        <label>
          up to before <input type="date" value={to} onInput={(event) => setTo(event.currentTarget.value)} />
        </label>
        <span class="soft">empty: all there is; days of {site.timezone}</span>
      </div>
      <div class="look-row no-print">
        <SteadyButton rests={isRunning} onPress={() => void start('compare')}>
          Compare with what holds
        </SteadyButton>
        <SteadyButton rests={isRunning} onPress={() => void start('curve')}>
          Draw the trade-off
        </SteadyButton>
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
        <SteadyButton rests={isRunning} onPress={() => void start('suggest')}>
          Suggest
        </SteadyButton>
      </div>
      {mayDo('engineer') && <OpenStudy busy={isRunning} onOpen={(file) => void open(file)} />}
      <div role="status">{isRunning && <StudyProgressBar now={now} onCancel={end} />}</div>
      {told !== null && (
        <p class="fault" role="alert">
          {told}
        </p>
      )}
      {answer !== null && asked !== null && asked.settings !== text && (
        <p role="status">The values above were changed since: what stands here is of those before.</p>
      )}
      {answer?.kind === 'compare' && (
        <>
          <Comparison report={answer.report} site={site} />
          {mayDo('engineer') && now !== null && <SaveStudy key={now.id} id={now.id} />}
        </>
      )}
      {answer?.kind === 'open' && <OpenedStudy opened={answer} onTake={onTake} />}
      {answer?.kind === 'suggest' && (
        <SuggestionShown
          suggestion={answer.suggestion}
          target={asked?.target ?? 0}
          tried={answer.points.length}
          onTake={onTake}
        />
      )}
      {(answer?.kind === 'curve' || answer?.kind === 'suggest') && variesOverrides(settings) && (
        <p role="status">
          Some guns, powders or parts have values of their own for false alarms accepted or smallest change: what is
          tried leaves these out, and proposing one of it takes them away.
        </p>
      )}
      {now !== null && (answer?.kind === 'curve' || answer?.kind === 'suggest' || now.points.length > 0) && (
        <TradeOffChart
          points={answer?.kind === 'curve' || answer?.kind === 'suggest' ? answer.points : now.points}
          present={answer?.kind === 'curve' ? answer.present : null}
          proposed={answer?.kind === 'curve' ? answer.proposed : null}
          suggested={answer?.kind === 'suggest' ? suggestedOf(answer) : null}
          onTake={(point) => onTake(point.settings)}
        />
      )}
    </section>
  );
}

/** Whether other values stand for some guns, powders or parts of just what a curve varies; see `gridOf`. */
const variesOverrides = ({ overrides }: Settings): boolean =>
  overrides.some(
    ({ falseAlarmsPerGunYear, smallestChange }) => (falseAlarmsPerGunYear ?? smallestChange) !== undefined,
  );

/** The point of the curve that was suggested. */
function suggestedOf({ suggestion, points }: Extract<StudyAnswer, { kind: 'suggest' }>): CurvePoint | null {
  return points.find((point) => keyOf(point) === keyOf(suggestion)) ?? null;
}
