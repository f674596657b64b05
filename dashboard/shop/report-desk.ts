import { Temporal } from 'temporal-polyfill';
import { type Job, useBetween } from '../../analyzer/index.ts';
import type { JournalLine, Report } from '../server/index.ts';
import { type Basis, gunName } from './basis.ts';
import type { JournalDesk } from './journal-desk.ts';
import type { StockDesk } from './stock-desk.ts';

/** Finds the shift that a time lies in, or the last one before it, epoch ms. */
export type ShiftAt = (time: number) => { readonly from: number; readonly to: number };

/** Source: own choice, because no shift or week is told with more lines than a person reads. */
const MOST_LINES = 500;

/** The pages that go from shift to shift and from week to week. */
export class ReportDesk {
  readonly #basis: Basis;
  readonly #journal: JournalDesk;
  readonly #stock: StockDesk;
  readonly #jobs: () => readonly Job[];
  readonly #shiftAt: ShiftAt;

  constructor(
    basis: Basis,
    {
      journal,
      stock,
      jobs,
      shiftAt,
    }: { journal: JournalDesk; stock: StockDesk; jobs: () => readonly Job[]; shiftAt: ShiftAt },
  ) {
    this.#basis = basis;
    this.#journal = journal;
    this.#stock = stock;
    this.#jobs = jobs;
    this.#shiftAt = shiftAt;
  }

  report(kind: 'shift' | 'week', at: number): Report {
    const { plant, store, use, views } = this.#basis;
    const { from, to } = kind === 'shift' ? this.#shiftAt(at) : weekOf(at, plant.site.timezone);
    const within = (time: string | null): boolean => time !== null && Date.parse(time) >= from && Date.parse(time) < to;
    const findings = store.findings.list().map(({ finding }) => finding);
    const named = (gun: string | null, guns: readonly string[] | undefined): string =>
      gun === null ? (guns ?? []).map((id) => gunName(plant, id)).join(', ') : gunName(plant, gun);
    const raised = findings.filter((one) => within(one.raised));
    return {
      kind,
      from: new Date(from).toISOString(),
      to: new Date(to).toISOString(),
      guns: plant.guns.map(({ id, name }) => {
        const view = views().find((one) => one.id === id);
        const { sprayHours, kilograms } = useBetween(use.hours(id), from, to);
        return {
          gun: id,
          name: name ?? id,
          state: view?.state ?? 'unknown',
          sprayHours,
          kilograms: sprayHours > 0 ? kilograms : 0,
          excessAir: view?.excessAir?.p50 ?? null,
          remaining: view?.remaining ?? null,
          findings: raised.filter((one) => one.gun === id || one.guns?.includes(id)).length,
        };
      }),
      open: this.#jobs().map(({ gunName: gun, part, action, reason, category, byShifts }) => ({
        gun,
        part,
        action,
        reason,
        category,
        byShifts,
        stock: part === null ? null : this.#stock.shortOf(part),
      })),
      raised: raised.map(({ gun, guns, cause, category, raised: time }) => ({
        gun: named(gun, guns),
        cause,
        category,
        at: time,
      })),
      cleared: findings
        .filter((one) => within(one.cleared))
        .map(({ gun, guns, cause, cleared }) => ({ gun: named(gun, guns), cause, at: cleared ?? '' })),
      done: this.#journal
        .lines({ from, to, limit: MOST_LINES })
        .filter(({ kind: of }: JournalLine) => of !== 'finding')
        .reverse(),
      toOrder: this.#stock.lines().flatMap(({ part, onHand, order }) => (order > 0 ? [{ part, onHand, order }] : [])),
    };
  }
}

/** Monday to Monday on the shop's calendar (ISO 8601 weeks), the one that holds `at`. */
export function weekOf(at: number, timezone: string): { from: number; to: number } {
  const date = Temporal.Instant.fromEpochMilliseconds(Math.floor(at)).toZonedDateTimeISO(timezone).toPlainDate();
  const monday = date.subtract({ days: date.dayOfWeek - 1 });
  const start = (day: Temporal.PlainDate): number => day.toZonedDateTime(timezone).epochMilliseconds;
  return { from: start(monday), to: start(monday.add({ days: 7 })) };
}
