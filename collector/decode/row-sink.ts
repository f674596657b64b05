import {
  CHANNEL_DECIMALS,
  CHANNEL_NAMES,
  CHANNEL_STEPS,
  type Conversion,
  EARLIEST_MS,
  NO_OFFSET,
} from '../contract/index.ts';
import type { Header } from './csv-header.ts';
import type { ReadingFacts } from './reading-facts.ts';
import type { ChannelPlan, StationPlan } from './station-plan.ts';
import { columnOf, StationRows } from './station-rows.ts';
import type { Tally } from './tally.ts';

/** Marks of a cell of the row at hand: a whole number with so many decimals at most, or one of the others. */
export const CELL = {
  mostDecimals: 15,
  /** A number as a double: not in whole digits. */
  number: 16,
  absent: 17,
  notANumber: 18,
  notATrigger: 19,
  unusableName: 20,
} as const;

const POWERS = Array.from({ length: CELL.mostDecimals + 1 }, (_, exponent) => 10 ** exponent);

/** Columns of a file as one station takes them. */
interface StationColumns {
  /** Decimals that steps hold as they are written; -1 where they have to be converted. */
  readonly decimals: Int8Array;
  /** Lowest and highest possible value in steps, one behind the other. */
  readonly limits: Float64Array;
}

/**
 * Takes rows, cell by cell in scratch arrays, into the rows of their stations: converts, checks limits, counts
 * what cannot be used.
 */
export class RowSink {
  /** Rows by station index. */
  readonly rows: readonly StationRows[];
  /** Cells of the row at hand by column: mark (see CELL), and the digits as a whole number. */
  marks = new Uint8Array(0);
  mantissas = new Float64Array(0);
  private readonly plans: readonly StationPlan[];
  private readonly facts: ReadingFacts;
  private readonly lastGood: Float64Array;
  private tally: Tally;
  private file = -1;
  /** Columns that carry a channel: their place in the row, channel and conversion. */
  private places: number[] = [];
  private channels: number[] = [];
  private conversions: Conversion[] = [];
  /** The same columns as a station takes them, by station index; of those that this file has brought rows of. */
  private taking: (StationColumns | undefined)[] = [];

  constructor(plans: readonly StationPlan[], facts: ReadingFacts, tally: Tally) {
    this.plans = plans;
    this.facts = facts;
    this.tally = tally;
    this.rows = plans.map((plan) => new StationRows(plan.id));
    this.lastGood = new Float64Array(plans.length).fill(Number.NaN);
  }

  /** Gets ready for the rows of a file with this header. */
  open(header: Header, tally: Tally): void {
    this.file++;
    this.tally = tally;
    const width = header.columns.length;
    this.marks = new Uint8Array(width);
    this.mantissas = new Float64Array(width);
    this.places = header.columns.flatMap((column, place) => (column.channel >= 0 ? [place] : []));
    this.channels = this.places.map((place) => header.columns[place]?.channel ?? -1);
    this.conversions = this.places.map((place) => header.columns[place]?.conversion ?? { scale: 1, offset: 0 });
    this.taking = this.plans.map(() => undefined);
  }

  /**
   * Takes the row whose cells are in the scratch arrays.
   *
   * @param time epoch ms, or what the time reader gives for a time that is none
   * @param station index into the plans, -1 for one that is not there
   */
  take(time: number, station: number, line: number): void {
    const { tally } = this;
    if (station < 0) {
      tally.unusable('unknown-gun', line);
      return;
    }
    if (!(time >= EARLIEST_MS)) {
      const reason =
        time === NO_OFFSET ? 'time-without-offset' : Number.isNaN(time) ? 'time-unreadable' : 'before-2000';
      tally.unusable(reason, line);
      this.facts.clock(station, this.lastGood[station] as number, Number.isFinite(time) ? time : null);
      return;
    }
    this.lastGood[station] = time;
    const rows = this.rows[station] as StationRows;
    const block = rows.open(this.file);
    const { columns, length: row } = block;
    const { places, channels, marks, mantissas } = this;
    const { decimals, limits } = this.taking[station] ?? this.columnsOf(station);
    let readings = 0;
    for (let index = 0; index < places.length; index++) {
      const place = places[index] as number;
      const mark = marks[place] as number;
      if (mark === CELL.absent) continue;
      const channel = channels[index] as number;
      if (mark > CELL.number) {
        this.countBadCell(mark, line, channel);
        continue;
      }
      const zeros = (decimals[index] as number) - mark;
      const steps =
        zeros >= 0
          ? (mantissas[place] as number) * (POWERS[zeros] as number)
          : this.convert(station, index, place, mark);
      if (steps >= (limits[2 * index] as number) && steps <= (limits[2 * index + 1] as number)) {
        const column = columns[channel] ?? columnOf(block, channel);
        column[row] = steps;
        readings++;
      } else {
        tally.unusable('out-of-range', line, CHANNEL_NAMES[channel]);
        this.facts.outOfRange(station, channel, time);
      }
    }
    if (readings === 0) return;
    block.times[row] = time;
    block.lines[row] = line;
    block.length++;
    rows.added(time);
    tally.usableRows++;
  }

  private columnsOf(station: number): StationColumns {
    const decimals = new Int8Array(this.channels.length);
    const limits = new Float64Array(2 * this.channels.length);
    for (const [index, channel] of this.channels.entries()) {
      const { scale, offset } = this.conversions[index] as Conversion;
      const { factor, lowest, highest } = this.planOf(station, index);
      const asWritten = scale === 1 && offset === 0 && factor === 1;
      decimals[index] = asWritten ? (CHANNEL_DECIMALS[channel] as number) : -1;
      limits.set([lowest, highest], 2 * index);
    }
    const columns = { decimals, limits };
    this.taking[station] = columns;
    return columns;
  }

  private planOf(station: number, index: number): ChannelPlan {
    return this.plans[station]?.channels[this.channels[index] as number] as ChannelPlan;
  }

  /** Steps of a number that is not written in steps. */
  private convert(station: number, index: number, place: number, mark: number): number {
    const { scale, offset } = this.conversions[index] as Conversion;
    const { factor } = this.planOf(station, index);
    const mantissa = this.mantissas[place] as number;
    const value = mark === CELL.number ? mantissa : mantissa / (POWERS[mark] as number);
    const canonical = (value * scale + offset) * factor;
    return Math.round(canonical * (CHANNEL_STEPS[this.channels[index] as number] as number));
  }

  private countBadCell(mark: number, line: number, channel: number): void {
    const reason =
      mark === CELL.notATrigger ? 'not-a-trigger' : mark === CELL.unusableName ? 'unusable-name' : 'not-a-number';
    this.tally.unusable(reason, line, CHANNEL_NAMES[channel]);
  }
}
