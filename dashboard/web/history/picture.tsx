import type { JSX } from 'preact';
import { useMemo } from 'preact/hooks';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { historyPath } from '../../../collector/contract/history-look.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { saveText } from '../save-text.ts';
import { day, dayAndClock, secondsClock } from '../words/site-time.ts';
import { SIDES } from './chart.tsx';
import { CompareChange } from './compare-change.tsx';
import { eventRows } from './event-rows.ts';
import { EventStrip } from './event-strip.tsx';
import { ExcludeSpan } from './exclude-span.tsx';
import { FreshnessNote } from './freshness-note.tsx';
import { historyCsv } from './history-csv.ts';
import { HistoryTable } from './history-table.tsx';
import { type Span, TOLD_BY_SECONDS_MS } from './look.ts';
import { NothingSent, NothingSprayed } from './nothing-sent.tsx';
import { type Drawn, PanelChart } from './panel-chart.tsx';
import { headOf, measured, PANELS } from './panels.ts';
import { savePicture } from './save-picture.ts';
import { usePainted } from './use-painted.ts';

/** What came of a gun, and of another beside it. */
export interface Shown {
  readonly answer: HistoryAnswer;
  readonly other: HistoryAnswer | null;
}

/** Charts that a screen shows before anybody scrolls. Source: a window of 1080 px shows the first and most of the second. */
const SEEN = 2;

interface PictureProps {
  readonly shown: Shown;
  readonly site: Site;
  readonly goTo: (span: Span) => void;
  readonly loading: boolean;
  readonly reload: () => void;
  readonly canvases: Map<string, Drawn>;
}

/** The charts of a span, what can be saved of them, and what can be done with its runs. */
export function Picture({
  shown: { answer, other },
  site,
  goTo,
  loading,
  reload,
  canvases,
}: PictureProps): JSX.Element {
  const painted = usePainted();
  const span = useMemo(() => ({ from: answer.from, to: answer.to }), [answer]);
  const rows = useMemo(() => eventRows(answer, span, site), [answer, span, site]);
  // The picture's own: another gun may have been chosen and still be on its way.
  const { gun } = answer;
  const nameOf = (id: string): string => site.guns.find((one) => one.id === id)?.name ?? id;
  const name = nameOf(gun);
  const isShort = span.to - span.from < TOLD_BY_SECONDS_MS;
  const told = (ms: number): string =>
    isShort ? `${day(ms, site, Number.POSITIVE_INFINITY)}, ${secondsClock(ms, site)}` : dayAndClock(ms, site);
  const heading = `${name}: ${told(span.from)} to ${told(span.to)}`;
  const both = [answer, ...(other === null ? [] : [other])];
  const empty = both
    .filter(({ times }) => times.length === 0)
    .map((one) => <NothingSent key={one.gun} answer={one} name={nameOf(one.gun)} site={site} goTo={goTo} />);
  const drawn = both.find(({ times }) => times.length > 0);
  if (drawn === undefined) return <div>{empty}</div>;
  const panels = PANELS.filter((panel) => both.some((one) => measured(panel, one).length > 0));
  return (
    <div aria-busy={loading}>
      <p role="status">
        {heading}.{' '}
        {drawn.level === 'readings' ? 'Single readings.' : 'Spray runs: lines are means, bands lowest to highest.'}
        {loading && ' Loading…'}
      </p>
      {empty}
      {both.flatMap((one) =>
        one.damaged.map(({ kind, from, to, why }) => (
          <p class="fault" role="alert" key={`${one.gun} ${why}`}>
            {kind[0]!.toUpperCase() + kind.slice(1)} of {nameOf(one.gun)} from {dayAndClock(from, site)} to{' '}
            {dayAndClock(to, site)} are missing: they are damaged on the disk ({why}).
          </p>
        )),
      )}
      <NothingSprayed {...{ answer, name, site, goTo }} />
      <FreshnessNote answer={answer} name={name} site={site} goTo={goTo} />
      <EventStrip rows={rows} span={span} style={site} />
      {!panels.some(({ id }) => id === 'excess') && drawn.level === 'runs' && (
        <p class="soft">
          No excess air stands here: in this span there is no baseline to set the air against, or the analysis has not
          come that far. <a href={`/baseline?gun=${encodeURIComponent(gun)}`}>Baseline</a> says what is lacking.
        </p>
      )}
      {panels.slice(0, painted ? panels.length : SEEN).map((panel) => (
        <PanelChart key={panel.id} {...{ panel, answer, other, site, span, goTo, canvases }} />
      ))}
      {painted && (
        <>
          <p class="look-row no-print">
            <button
              type="button"
              class="button"
              onClick={() => saveText(historyCsv(answer, other, site), `${gun}-history.csv`)}
            >
              Save as CSV
            </button>
            {both.map((one) => (
              <a class="button" key={one.gun} href={historyPath(one.gun, span, null, 'runs.parquet')} download>
                Save runs {other === null ? '' : `of ${nameOf(one.gun)} `}as Parquet
              </a>
            ))}
            <button
              type="button"
              class="button"
              onClick={() =>
                savePicture(
                  `${heading}${other === null ? '' : `, beside ${nameOf(other.gun)} (thin)`} · clock of ${site.timezone}`,
                  panels.flatMap((panel) => {
                    const chart = canvases.get(panel.id);
                    if (chart === undefined) return [];
                    const { canvas, beyond } = chart;
                    const head = headOf(panel, both, site.units);
                    return [{ title: beyond === null ? head : `${head} · beyond this scale: ${beyond}`, canvas }];
                  }),
                  `${gun}-history.png`,
                  { rows, span, ...SIDES },
                )
              }
            >
              Save as PNG
            </button>
          </p>
          <HistoryTable answer={answer} other={other} site={site} />
          <CompareChange answer={answer} site={site} />
          <ExcludeSpan answer={answer} site={site} onChanged={reload} />
        </>
      )}
    </div>
  );
}
