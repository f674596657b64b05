import type { HistoryAnswer, SeriesAnswer } from '../../../analyzer/index.ts';
import { flow, output, pressure, type Quantity, type Units } from '../words/units.ts';

/** How a line is drawn. */
export type Dash = 'solid' | 'dashed' | 'dotted';

/** One picture of the stack: what it shows, and how its numbers are told. */
export interface Panel {
  readonly id: string;
  readonly title: string;
  /** What is added to it where the points are means of spray runs. */
  readonly ofRuns?: string;
  /** Names of the history's series; the first carries its band of lowest and highest. */
  readonly series: readonly { readonly name: string; readonly label: string; readonly dash?: Dash }[];
  readonly told: (value: number, units: Units) => Quantity;
  readonly digits: number;
  /** Values many times the usual are a sensor's, never wear or a leak: they need not flatten all others. */
  readonly isCut?: boolean;
}

const conductance = (value: number): Quantity => ({ value, unit: 'dm³/(s·bar)' });

export const PANELS: readonly Panel[] = [
  {
    id: 'air',
    title: 'Conveying air',
    series: [
      { name: 'conveyingFlow', label: 'Flowing' },
      { name: 'neededAir', label: 'Needed by a new insert at the usual output', dash: 'dashed' },
    ],
    told: flow,
    digits: 2,
    isCut: true,
  },
  {
    id: 'excess',
    title: 'Excess air at the usual output',
    series: [{ name: 'excessAir', label: 'Excess air' }],
    told: (value) => ({ value: value * 100, unit: '%' }),
    digits: 1,
  },
  {
    id: 'output',
    title: 'Powder output',
    series: [{ name: 'output', label: 'Output' }],
    told: output,
    digits: 0,
    isCut: true,
  },
  {
    id: 'conductance',
    title: 'Conductance of the air lines',
    series: [
      { name: 'conveyingConductance', label: 'Conveying' },
      { name: 'supplementaryConductance', label: 'Supplementary', dash: 'dashed' },
      { name: 'fluidizingConductance', label: 'Fluidizing', dash: 'dotted' },
    ],
    told: conductance,
    digits: 3,
    isCut: true,
  },
  {
    id: 'ripple',
    title: 'Ripple of the conveying pressure',
    series: [{ name: 'ripple', label: 'Ripple' }],
    told: pressure,
    digits: 4,
  },
  {
    id: 'supply',
    title: 'Supply pressure',
    ofRuns: 'while spraying',
    series: [{ name: 'supplyPressure', label: 'Supply' }],
    told: pressure,
    digits: 2,
    isCut: true,
  },
];

/** What a panel shows in words. */
export function titleOf({ title, ofRuns }: Panel, level: HistoryAnswer['level']): string {
  return ofRuns === undefined || level === 'readings' ? title : `${title} ${ofRuns}`;
}

/** The series of a panel that hold anything. */
export function measured(
  panel: Panel,
  answer: HistoryAnswer,
): { readonly label: string; readonly dash: Dash; readonly values: SeriesAnswer }[] {
  return panel.series.flatMap(({ name, label, dash = 'solid' }) => {
    const values = answer.series.find((one) => one.name === name);
    return values?.mid.some((value) => value !== null) ? [{ label, dash, values }] : [];
  });
}

const MARKS = { solid: '━━', dashed: '━ ━', dotted: '····' } as const;

/** A panel's title in a picture: with its unit, and which line is which where there are several, of whichever gun. */
export function headOf(panel: Panel, both: readonly HistoryAnswer[], units: Units): string {
  const met = both.flatMap((one) => measured(panel, one));
  const lines = met.filter(({ label }, index) => met.findIndex((one) => one.label === label) === index);
  const named =
    lines.length < 2 ? '' : ` · ${lines.map(({ label, dash }) => `${MARKS[dash]}\u00a0${label}`).join('  ')}`;
  return `${titleOf(panel, both[0]!.level)}, ${panel.told(0, units).unit}${named}`;
}
