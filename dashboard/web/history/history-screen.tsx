import type { JSX } from 'preact';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import './history.css';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { lookOf, POINTS, statedSpan } from '../../../collector/contract/history-look.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { askOnce } from '../link/ask-early.ts';
import { useAgain } from '../link/use-again.ts';
import { loadHistory } from './load-history.ts';
import { type Look, moved, type Span, searchOf, zoomed } from './look.ts';
import { LookRow } from './look-row.tsx';
import type { Drawn } from './panel-chart.tsx';
import { Picture, type Shown } from './picture.tsx';
import { useFingers } from './use-fingers.ts';
import { useWheel } from './use-wheel.ts';
import { useWhenFree } from './use-when-free.ts';

/** Until an answer that did not come is asked for again, ms. Source: own choice. */
const AGAIN_MS = 3000;

/** The past of a gun on one time line, from years to a single trigger pull. */
export function HistoryScreen(): JSX.Element {
  const [look, setLook] = useState<Look>(() => lookOf(location.search));
  const [site, setSite] = useState<Site | null>(null);
  const [shown, setShown] = useState<Shown | null>(null);
  const [siteFault, setSiteFault] = useState<string | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const [loading, setLoading] = useState(true);
  const [turn, setTurn] = useState(0);
  const [place, setPlace] = useState<HTMLElement | null>(null);
  const canvases = useRef(new Map<string, Drawn>());

  const loadSite = (): void =>
    void told(async () => {
      setSite(await askOnce<Site>('/api/site'));
      setSiteFault(null);
    }, setSiteFault);
  useEffect(loadSite, []);
  useAgain(siteFault, loadSite);
  useEffect(() => {
    const back = (): void => setLook(lookOf(location.search));
    addEventListener('popstate', back);
    return () => removeEventListener('popstate', back);
  }, []);
  const gun = look.gun ?? site?.guns[0]?.id ?? null;
  /** The newest that was asked for: told at once, while the page itself is still to follow. */
  const newest = useRef<Look>(look);
  newest.current = { ...look, gun };
  const whenFree = useWhenFree(place);
  useEffect(() => {
    if (gun === null) return;
    let stale = false;
    const asked = searchOf({ ...look, gun });
    setLoading(true);
    const span = statedSpan(look);
    let again: ReturnType<typeof setTimeout> | undefined;
    const failed = (sentence: string, unreached: boolean): void => {
      if (stale) return;
      setFault(sentence);
      // The service may be starting or out of reach for a moment: nobody should have to press a button for that.
      if (unreached) again = setTimeout(() => setTurn((now) => now + 1), AGAIN_MS);
    };
    void told(async () => {
      const beside = (whole: Partial<Span>): Promise<HistoryAnswer> | null =>
        look.other === null ? null : loadHistory(look.other, whole, POINTS);
      const isStated = look.from !== null && look.to !== null;
      const [answer, early] = await Promise.all([loadHistory(gun, span, POINTS), isStated ? beside(span) : null]);
      // Over the first one's span, or the points of the two would stand at different times.
      const other = early ?? (await beside({ from: answer.from, to: answer.to }));
      if (stale) return;
      setFault(null);
      whenFree(() => {
        if (!stale && searchOf(newest.current) === asked) setShown({ answer, other });
      });
    }, failed).finally(() => stale || setLoading(false));
    return () => {
      stale = true;
      clearTimeout(again);
    };
  }, [gun, look.other, look.from, look.to, turn]);

  // The same functions for good: charts that are given others are drawn anew.
  const go = useCallback((change: Partial<Look>): void => {
    const next = { ...newest.current, ...change };
    newest.current = next;
    history.pushState(null, '', searchOf(next));
    setLook(next);
  }, []);
  const goTo = useCallback(({ from, to }: Span): void => go({ from: Math.round(from), to: Math.round(to) }), [go]);
  // What was asked for, not what has come: a second key press counts from the first.
  const span: Span | null =
    look.from !== null && look.to !== null
      ? { from: look.from, to: look.to }
      : shown === null
        ? null
        : { from: shown.answer.from, to: shown.answer.to };
  useWheel(place, span, goTo);
  useFingers(place, span, goTo);
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      // Fields take letters, and tables that scroll take arrows.
      const isTheirs = event.target instanceof HTMLElement && event.target.closest('select, input, .numbers-scroll');
      if (span === null || isTheirs || event.altKey || event.ctrlKey || event.metaKey) return;
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
      {(siteFault ?? fault) !== null && (
        <p class="fault" role="alert">
          {siteFault ?? fault}
        </p>
      )}
      {site === null && siteFault === null && <p>Loading…</p>}
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
            loading && <p>Loading…</p>
          ) : (
            <div ref={setPlace}>
              <Picture
                {...{ shown, site, goTo, loading }}
                reload={() => setTurn(turn + 1)}
                canvases={canvases.current}
              />
            </div>
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
  '=': (span) => zoomed(span, 0.5),
  '-': (span) => zoomed(span, 2),
};

/** Runs something that asks the API and shows the sentence where it fails. */
async function told(work: () => Promise<void>, show: (fault: string, unreached: boolean) => void): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof ApiFault)) throw error;
    show(error.message, error.problem === null);
  }
}
