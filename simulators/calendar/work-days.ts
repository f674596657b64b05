import { addDays, type ShiftPattern, type ShopDay, type Span, shopDay } from './shop-day.ts';

/** All local days of a span, and the working time in them. */
export class WorkDays {
  readonly days: readonly ShopDay[];
  readonly #shifts: readonly Span[];

  constructor(pattern: ShiftPattern, timezone: string, firstDate: string, count: number, daysOff: ReadonlySet<string>) {
    this.days = Array.from({ length: count }, (_, index) =>
      shopDay(pattern, timezone, addDays(firstDate, index), daysOff),
    );
    this.#shifts = this.days.flatMap(({ shifts }) => shifts);
    if (this.#shifts.length === 0) throw new RangeError('a hall must work on some day');
  }

  /** Starts of the days since whose predecessor the zone's clocks were moved, epoch ms of the first shift that feels it. */
  get clockChanges(): number[] {
    const found: number[] = [];
    let before: ShopDay | undefined;
    for (const day of this.days) {
      if (day.shifts.length === 0) continue;
      const off = before && (day.shifts[0]!.start - before.shifts[0]!.start) % 86_400_000;
      if (off !== undefined && off !== 0) found.push(day.shifts[0]!.start);
      before = day;
    }
    return found;
  }

  /** First and last working moment. */
  get span(): Span {
    return { start: this.#shifts[0]!.start, end: this.#shifts[this.#shifts.length - 1]!.end };
  }

  /**
   * A moment of working time.
   *
   * @param share of all working time gone by, 0 … 1
   * @returns epoch ms
   */
  moment(share: number): number {
    const total = this.#shifts.reduce((sum, { start, end }) => sum + end - start, 0);
    let left = Math.max(0, Math.min(0.999999, share)) * total;
    for (const { start, end } of this.#shifts) {
      if (left < end - start) return start + left;
      left -= end - start;
    }
    throw new RangeError(`share ${share} lies past the last shift`);
  }

  /** Working time within a span of time, ms. */
  workedMs(from: number, to: number): number {
    let sum = 0;
    for (const { start, end } of this.#shifts) sum += Math.max(0, Math.min(end, to) - Math.max(start, from));
    return sum;
  }

  /** The moment at which so many ms have been worked since `from`; the end of the last shift when there are not so many. */
  after(from: number, workedMs: number): number {
    let left = workedMs;
    for (const { start, end } of this.#shifts) {
      const begin = Math.max(start, from);
      if (begin >= end) continue;
      if (end - begin >= left) return begin + left;
      left -= end - begin;
    }
    return this.span.end;
  }
}
