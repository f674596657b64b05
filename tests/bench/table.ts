/** One line of the table of figures. */
export interface Figure {
  readonly what: string;
  readonly measured: string;
  /** The same by processor time, where that says more on a machine that others use too. */
  readonly byProcessor?: string;
  readonly aim?: string;
}

/** A part of the bench: `npm run bench -- <name>`. */
export interface Part {
  readonly name: string;
  run(size: Size): Promise<readonly Figure[]>;
}

/** How much is done. A quick run shows that a part works; its figures say little. */
export interface Size {
  readonly quick: boolean;
  /** Alternating rounds; medians are shown. */
  readonly rounds: number;
}

export function table(part: string, figures: readonly Figure[]): string {
  const rows = figures.map(({ what, measured, byProcessor = '', aim = '' }) => [
    part,
    what,
    measured,
    byProcessor,
    aim,
  ]);
  return rows.map((cells) => `| ${cells.join(' | ')} |\n`).join('');
}

export const TABLE_HEAD = '| part | what | by the clock | by the processor | aim |\n|---|---|---|---|---|\n';

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((left, right) => left - right);
  return sorted[sorted.length >> 1] ?? Number.NaN;
}

export const million = (number: number): string => `${(number / 1e6).toFixed(2)} M`;
export const whole = (number: number): string => number.toFixed(0);
