import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { measured, PANELS } from './panels.ts';

/** What a chart shows at one time, in the plant's units; null where nothing was measured. */
export interface ShownValue {
  readonly low: number | null;
  readonly mid: number | null;
  readonly high: number | null;
}

/** One line of the charts as numbers. */
export interface ShownColumn {
  /** "Booth 1 left: Flowing", without its unit. */
  readonly name: string;
  readonly unit: string;
  readonly digits: number;
  /** The chart draws a band around it. */
  readonly hasBand: boolean;
  readonly at: (time: number) => ShownValue;
}

const NOTHING: ShownValue = { low: null, mid: null, high: null };

/** All lines that the charts of one gun, or of two, show, in the plant's units. */
export function shownColumns(answer: HistoryAnswer, other: HistoryAnswer | null, site: Site): ShownColumn[] {
  if (other === null) return columnsOf(answer, '', site);
  const nameOf = (gun: string): string => `${site.guns.find(({ id }) => id === gun)?.name ?? gun}: `;
  return [answer, other].flatMap((one) => columnsOf(one, nameOf(one.gun), site));
}

/** Times of the points of one gun, or of two, ascending. */
export function shownTimes(answer: HistoryAnswer, other: HistoryAnswer | null): number[] {
  return [...new Set([...answer.times, ...(other?.times ?? [])])].sort((left, right) => left - right);
}

function columnsOf(one: HistoryAnswer, gun: string, site: Site): ShownColumn[] {
  const places = new Map(one.times.map((time, index) => [time, index]));
  return PANELS.flatMap((panel) =>
    measured(panel, one).map(({ label, values }, index): ShownColumn => {
      const shown = (value: number | null | undefined): number | null =>
        value == null ? null : panel.told(value, site.units).value;
      return {
        name: `${gun}${panel.id === 'conductance' ? `${label} conductance` : label}`,
        unit: panel.told(0, site.units).unit,
        digits: panel.digits,
        hasBand: index === 0,
        at(time) {
          const place = places.get(time);
          if (place === undefined) return NOTHING;
          return { low: shown(values.low[place]), mid: shown(values.mid[place]), high: shown(values.high[place]) };
        },
      };
    }),
  );
}
