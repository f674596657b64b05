import type { JSX } from 'preact';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import './history.css';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { dayAndClock } from '../words/site-time.ts';
import { Chart, type Line } from './chart.tsx';
import { CompareChange } from './compare-change.tsx';
import { EventStrip } from './event-strip.tsx';
import { ExcludeSpan } from './exclude-span.tsx';
import { HistoryTable } from './history-table.tsx';
import { historyPath, loadHistory } from './load-history.ts';
import { type Look, lookOf, moved, SPANS, type Span, searchOf, zoomed } from './look.ts';
import { measured, PANELS, type Panel } from './panels.ts';
import { savePicture } from './save-picture.ts';

/** Source: own choice, a chart of a thousand pixels tells no more; twelve series of these stay below 4000 points. */
const POINTS = 330;

/** Until an answer that did not come is asked for again, ms. Source: own choice. */
const AGAIN_MS = 3000;

interface Shown {
  readonly answer: HistoryAnswer;
  readonly other: HistoryAnswer | null;
}

/** The past of a gun on one time line, from years to a single trigger pull. */
export function HistoryScreen(): JSX.Element {
  const [look, setLook] = useState<Look>(() => lookOf(location.search));
  const [site, setSite] = useState<Site | null>(null);
  const [shown, setShown] = useState<Shown | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const [loading, setLoading] = useState(true);
  const [turn, setTurn] = useState(0);
  const canvases = useRef(new Map<string, HTMLCanvasElement>());

  useEffect(() => {
    void told(async () => setSite(await ask<Site>('/api/site')), setFault);
  }, []);
  useEffect(() => {
    const back = (): void => setLook(lookOf(location.search));
    addEventListener('popstate', back);
    return () => removeEventListener('popstate', back);
  }, []);
  const gun = look.gun ?? site?.guns[0]?.id ?? null;
  useEffect(() => {
    if (gun === null) return;
    let stale = false;
    setLoading(true);
    const span = { ...(look.from === null ? {} : { from: look.from }), ...(look.to === null ? {} : { to: look.to }) };
    let again: ReturnType<typeof setTimeout> | undefined;
    const failed = (sentence: string, unreached: boolean): void => {
      if (stale) return;
      setFault(sentence);
      // The service may be starting or out of reach for a moment: nobody should have to press a button for that.
      if (unreached) again = setTimeout(() => setTurn((now) => now + 1), AGAIN_MS);
    };
    void told(async () => {
      const [answer, other] = await Promise.all([
        loadHistory(gun, span, POINTS),
        look.other === null ? null : loadHistory(look.other, span, POINTS),
      ]);
      if (stale) return;
      setShown({ answer, other });
      setFault(null);
    }, failed).finally(() => stale || setLoading(false));
    return () => {
      stale = true;
      clearTimeout(again);
    };
  }, [gun, look.other, look.from, look.to, turn]);

  const go = useCallback(
    (change: Partial<Look>): void => {
      const next = { ...look, gun, ...change };
      history.pushState(null, '', searchOf(next));
      setLook(next);
    },
    [look, gun],
  );
  const goTo = useCallback(({ from, to }: Span): void => go({ from: Math.round(from), to: Math.round(to) }), [go]);
  const span: Span | null = shown === null ? null : { from: shown.answer.from, to: shown.answer.to };
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      const typing = event.target instanceof HTMLSelectElement || event.target instanceof HTMLInputElement;
      if (span === null || typing || event.altKey || event.ctrlKey || event.metaKey) return;
      const next = KEYS[event.key]?.(span);
      if (next === undefined) return;
      event.preventDefault();
      goTo(next);
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, [span?.from, span?.to, goTo]);

  return (
    <Frame title="History" page="history" wide>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {site === null && fault === null && <p>Loading…</p>}
      {site !== null && gun === null && <p>The plant has no guns yet.</p>}
      {site !== null && gun !== null && (
        <div class="history">
          <LookRow
            site={site}
            gun={gun}
            look={look}
            span={span}
            known={shown?.answer.known ?? null}
            go={go}
            goTo={goTo}
          />
          {shown === null ? (
            <p>{loading ? 'Loading…' : 'Nothing to show.'}</p>
          ) : (
            <Picture
              {...{ shown, site, gun, goTo, loading }}
              reload={() => setTurn(turn + 1)}
              canvases={canvases.current}
            />
          )}
        </div>
      )}
    </Frame>
  );
}

const KEYS: Readonly<Record<string, (span: Span) => Span>> = {
  ArrowLeft: (span) => moved(span, -0.25),
  ArrowRight: (span) => moved(span, 0.25),
  '+': (span) => zoomed(span, 0.5),
  '-': (span) => zoomed(span, 2),
};

interface LookProps {
  readonly site: Site;
  readonly gun: string;
  readonly look: Look;
  readonly span: Span | null;
  readonly known: Span | null;
  readonly go: (change: Partial<Look>) => void;
  readonly goTo: (span: Span) => void;
}

/** What is looked at, and how to look elsewhere. */
function LookRow({ site, gun, look, span, known, go, goTo }: LookProps): JSX.Element {
  return (
    <div class="look">
      <div class="look-row">
        <label>
          Gun{' '}
          <select value={gun} onChange={(event) => go({ gun: event.currentTarget.value })}>
            {site.guns.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label>
          Beside it{' '}
          <select value={look.other ?? ''} onChange={(event) => go({ other: event.currentTarget.value || null })}>
            <option value="">no other gun</option>
            {site.guns
              .filter(({ id }) => id !== gun)
              .map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
          </select>
        </label>
      </div>
      <fieldset class="look-row">
        <legend class="unseen">Span of time</legend>
        {SPANS.map(({ name, ms }) => {
          const isShown = span !== null && (ms === null ? look.from === null : span.to - span.from === ms);
          return (
            <button
              type="button"
              class="button"
              key={name}
              aria-pressed={isShown}
              onClick={() => {
                const end = Math.min(span?.to ?? Number.POSITIVE_INFINITY, known?.to ?? Number.POSITIVE_INFINITY);
                if (ms === null) go({ from: null, to: null });
                else if (Number.isFinite(end)) goTo({ from: end - ms, to: end });
              }}
            >
              {name}
            </button>
          );
        })}
        {span !== null && (
          <>
            <button type="button" class="button" onClick={() => goTo(moved(span, -0.5))}>
              <span aria-hidden="true">◀</span> Earlier
            </button>
            <button type="button" class="button" onClick={() => goTo(moved(span, 0.5))}>
              Later <span aria-hidden="true">▶</span>
            </button>
            <button type="button" class="button" onClick={() => goTo(zoomed(span, 0.5))}>
              Nearer
            </button>
            <button type="button" class="button" onClick={() => goTo(zoomed(span, 2))}>
              Farther
            </button>
          </>
        )}
      </fieldset>
      <p class="soft no-print">Drag over a chart to look nearer; arrow keys move, + and − zoom, Back goes back.</p>
    </div>
  );
}

interface PictureProps {
  readonly shown: Shown;
  readonly site: Site;
  readonly gun: string;
  readonly goTo: (span: Span) => void;
  readonly loading: boolean;
  readonly reload: () => void;
  readonly canvases: Map<string, HTMLCanvasElement>;
}

function Picture({ shown: { answer, other }, site, gun, goTo, loading, reload, canvases }: PictureProps): JSX.Element {
  const span = { from: answer.from, to: answer.to };
  const name = site.guns.find(({ id }) => id === gun)?.name ?? gun;
  const heading = `${name}: ${dayAndClock(span.from, site)} to ${dayAndClock(span.to, site)}`;
  if (answer.times.length === 0)
    return (
      <p>
        {name} sent nothing from {dayAndClock(span.from, site)} to {dayAndClock(span.to, site)}.
        {answer.known !== null &&
          ` Its readings go from ${dayAndClock(answer.known.from, site)} to ${dayAndClock(answer.known.to, site)}.`}
      </p>
    );
  const panels = PANELS.filter((panel) => measured(panel, answer).length > 0);
  return (
    <div aria-busy={loading}>
      <p role="status">
        {heading}.{' '}
        {answer.level === 'readings' ? 'Single readings.' : 'Spray runs: lines are means, bands lowest to highest.'}
        {loading && ' Loading…'}
      </p>
      <EventStrip answer={answer} span={span} style={site} />
      {panels.map((panel) => (
        <PanelChart key={panel.id} {...{ panel, answer, other, site, span, goTo, canvases }} />
      ))}
      <p class="look-row no-print">
        <a class="button" href={historyPath(gun, span, POINTS, 'history.csv')} download>
          Save as CSV
        </a>
        <a class="button" href={historyPath(gun, span, null, 'runs.parquet')} download>
          Save runs as Parquet
        </a>
        <button
          type="button"
          class="button"
          onClick={() =>
            savePicture(
              heading,
              panels.flatMap(({ id, title }) => {
                const canvas = canvases.get(id);
                return canvas === undefined ? [] : [{ title, canvas }];
              }),
              `${gun}-history.png`,
            )
          }
        >
          Save as PNG
        </button>
      </p>
      <HistoryTable answer={answer} site={site} />
      <CompareChange answer={answer} site={site} />
      <ExcludeSpan answer={answer} site={site} onChanged={reload} />
    </div>
  );
}

interface PanelProps extends Omit<PictureProps, 'shown' | 'loading' | 'gun' | 'reload'> {
  readonly panel: Panel;
  readonly answer: HistoryAnswer;
  readonly other: HistoryAnswer | null;
  readonly span: Span;
}

function PanelChart({ panel, answer, other, site, span, goTo, canvases }: PanelProps): JSX.Element {
  const { times, lines } = linesOf(panel, answer, other, site);
  const keep = useCallback(
    (canvas: HTMLCanvasElement | null): void => {
      if (canvas === null) canvases.delete(panel.id);
      else canvases.set(panel.id, canvas);
    },
    [panel.id, canvases],
  );
  return (
    <Chart
      title={panel.title}
      unit={panel.told(0, site.units).unit}
      times={times}
      lines={lines}
      span={span}
      style={site}
      digits={panel.digits}
      onZoom={goTo}
      onCanvas={keep}
    />
  );
}

/** Lines of a panel in the plant's units; another gun's beside them on the times of both. */
function linesOf(
  panel: Panel,
  answer: HistoryAnswer,
  other: HistoryAnswer | null,
  site: Site,
): { readonly times: readonly number[]; readonly lines: readonly Line[] } {
  const times = other === null ? answer.times : [...new Set([...answer.times, ...other.times])].sort((a, b) => a - b);
  const of = (one: HistoryAnswer, name: string, faint: boolean): Line[] => {
    const at = new Map(one.times.map((time, index) => [time, index]));
    const shown = (values: readonly (number | null)[]): (number | null)[] =>
      times.map((time) => {
        const value = values[at.get(time) ?? -1] ?? null;
        return value === null ? null : panel.told(value, site.units).value;
      });
    return measured(panel, one).map(({ label, dashed, values }, index) => ({
      label: faint ? `${name}, ${label.toLowerCase()}` : label,
      dashed,
      faint,
      values: shown(values.mid),
      band: faint || index > 0 ? null : { low: shown(values.low), high: shown(values.high) },
    }));
  };
  const otherName = other === null ? '' : (site.guns.find(({ id }) => id === other.gun)?.name ?? other.gun);
  return { times, lines: [...of(answer, '', false), ...(other === null ? [] : of(other, otherName, true))] };
}

/** Runs something that asks the API and shows the sentence where it fails. */
async function told(work: () => Promise<void>, show: (fault: string, unreached: boolean) => void): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof ApiFault)) throw error;
    show(error.message, error.problem === null);
  }
}
