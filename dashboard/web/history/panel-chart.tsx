import type { JSX } from 'preact';
import { useCallback, useMemo, useState } from 'preact/hooks';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { decimal } from '../words/figures.ts';
import { bridged } from './bridged.ts';
import { Chart } from './chart.tsx';
import { type Cut, cutScale } from './cut-scale.ts';
import type { Line } from './line.ts';
import type { Span } from './look.ts';
import { measured, type Panel, titleOf } from './panels.ts';
import { pausesIn } from './pauses.ts';

interface PanelProps {
  readonly panel: Panel;
  readonly answer: HistoryAnswer;
  readonly other: HistoryAnswer | null;
  readonly site: Site;
  readonly span: Span;
  readonly goTo: (span: Span) => void;
  readonly canvases: Map<string, Drawn>;
}

/** A chart as it stands on the page. */
export interface Drawn {
  readonly canvas: HTMLCanvasElement;
  /** What does not fit on its scale, in words; null where everything does. */
  readonly beyond: string | null;
}

/** One chart: what a panel shows of a gun, and faintly of another. */
export function PanelChart({ panel, answer, other, site, span, goTo, canvases }: PanelProps): JSX.Element {
  // The same lines as long as nothing else came: a chart is drawn anew when they change.
  const { times, lines } = useMemo(() => linesOf(panel, answer, other, site), [panel, answer, other, site]);
  const cut = useMemo(() => (panel.isCut ? cutScale(lines) : null), [panel, lines]);
  const [isWhole, setWhole] = useState(false);
  const { unit } = panel.told(0, site.units);
  const beyond = cut === null || isWhole ? null : beyondWords(cut, unit, panel.digits);
  const keep = useCallback(
    (canvas: HTMLCanvasElement | null): void => {
      if (canvas === null) canvases.delete(panel.id);
      else canvases.set(panel.id, { canvas, beyond });
    },
    [panel.id, canvases, beyond],
  );
  return (
    <>
      <Chart
        title={titleOf(panel, answer.level)}
        unit={unit}
        times={times}
        lines={lines}
        span={span}
        style={site}
        digits={panel.digits}
        top={cut === null || isWhole ? null : cut.top}
        onZoom={goTo}
        onCanvas={keep}
      />
      {cut !== null && (
        <p class="beyond">
          {beyond !== null && `Beyond this scale: ${beyond}. `}
          <button type="button" class="button no-print" aria-pressed={isWhole} onClick={() => setWhole(!isWhole)}>
            Whole scale
          </button>
        </p>
      )}
    </>
  );
}

/** "up to 34.5 m³/h". */
const beyondWords = ({ highest }: Cut, unit: string, digits: number): string =>
  `up to ${decimal(highest, digits)} ${unit}`;

/** Lines of a panel in the plant's units; another gun's beside them on the times of both. */
function linesOf(
  panel: Panel,
  answer: HistoryAnswer,
  other: HistoryAnswer | null,
  site: Site,
): { readonly times: readonly number[]; readonly lines: readonly Line[] } {
  const both = [answer, ...(other === null ? [] : [other])];
  // A time without a value in each pause: a line ends there.
  const breaks = both.flatMap((one) => pausesIn(one.times, one.widthMs).map(({ from, to }) => (from + to) / 2));
  const times = [...new Set([...both.flatMap((one) => one.times), ...breaks])].sort((a, b) => a - b);
  const of = (one: HistoryAnswer, name: string, faint: boolean): Line[] => {
    const at = new Map(one.times.map((time, index) => [time, index]));
    const pauses = pausesIn(one.times, one.widthMs);
    const [first = 0, last = 0] = [one.times[0], one.times.at(-1)];
    const stood = (time: number): boolean =>
      time < first || time > last || pauses.some(({ from, to }) => time > from && time < to);
    // A time of the other gun alone is no gap while this one sprays: the line goes on over it.
    const shown = (values: readonly (number | null)[]): (number | null | undefined)[] => {
      const joined = bridged(values);
      return times.map((time) => {
        const index = at.get(time);
        if (index === undefined) return stood(time) ? null : undefined;
        const value = joined[index];
        return value == null ? value : panel.told(value, site.units).value;
      });
    };
    return measured(panel, one).map(({ label, dash, values }, index) => ({
      label: faint ? `${name}, ${label.toLowerCase()}` : label,
      dash,
      faint,
      values: shown(values.mid),
      band: faint || index > 0 ? null : { low: shown(values.low), high: shown(values.high) },
    }));
  };
  const otherName = other === null ? '' : (site.guns.find(({ id }) => id === other.gun)?.name ?? other.gun);
  return { times, lines: [...of(answer, '', false), ...(other === null ? [] : of(other, otherName, true))] };
}
