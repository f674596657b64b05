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
import type { StationPlan } from './station-plan.ts';
import { ABSENT, StationRows } from './station-rows.ts';
import type { Tally } from './tally.ts';

/** State of a cell of the row at hand. */
export const CELL = { absent: 0, value: 1, notANumber: 2, notATrigger: 3, unusableName: 4 } as const;

/** In place of steps: the value is outside its limits. */
const REFUSED = ABSENT;

const POWERS = Array.from({ length: 16 }, (_, exponent) => 10 ** exponent);

/**
 * Takes rows, cell by cell in scratch arrays, into the rows of their stations: converts, checks limits, counts
 * what cannot be used.
 */
export class RowSink {
  /** Rows by station index. */
  readonly rows: readonly StationRows[];
  /** Cells of the row at hand by column: state, digits as a whole number, and how many of them are decimals. */
  states = new Uint8Array(0);
  mantissas = new Float64Array(0);
  decimals = new Uint8Array(0);
  private readonly plans: readonly StationPlan[];
  private readonly facts: ReadingFacts;
  private readonly lastGood: Float64Array;
  private tally: Tally;
  private file = -1;
  /** Columns that carry a channel: their place in the row, channel and conversion. */
  private places: number[] = [];
  private channels: number[] = [];
  private conversions: Conversion[] = [];

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
    this.states = new Uint8Array(width);
    this.mantissas = new Float64Array(width);
    this.decimals = new Uint8Array(width);
    this.places = header.columns.flatMap((column, place) => (column.channel >= 0 ? [place] : []));
    this.channels = this.places.map((place) => header.columns[place]?.channel ?? -1);
    this.conversions = this.places.map((place) => header.columns[place]?.conversion ?? { scale: 1, offset: 0 });
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
    const block = rows.open(this.file, this.channels);
    const row = block.length;
    const { places, channels, states } = this;
    const { columns } = block;
    let readings = 0;
    for (let index = 0; index < places.length; index++) {
      const place = places[index] as number;
      const channel = channels[index] as number;
      const column = columns[channel] as Int32Array;
      const state = states[place] as number;
      if (state === CELL.value) {
        const steps = this.convert(station, index, place, channel);
        if (steps !== REFUSED) {
          column[row] = steps;
          readings++;
          continue;
        }
        tally.unusable('out-of-range', line, CHANNEL_NAMES[channel]);
        this.facts.outOfRange(station, channel, time);
      } else if (state !== CELL.absent) this.countBadCell(state, line, channel);
      column[row] = ABSENT;
    }
    if (readings === 0) return;
    block.times[row] = time;
    block.lines[row] = line;
    block.length++;
    rows.added(time);
    tally.usableRows++;
  }

  /** Steps of a number as it stands in the row, or REFUSED outside the limits. */
  private convert(station: number, index: number, place: number, channel: number): number {
    const plan = (this.plans[station] as StationPlan).channels[channel] as StationPlan['channels'][number];
    const conversion = this.conversions[index] as Conversion;
    const mantissa = this.mantissas[place] as number;
    const decimals = this.decimals[place] as number;
    const kept = CHANNEL_DECIMALS[channel] as number;
    let steps: number;
    if (conversion.scale === 1 && conversion.offset === 0 && plan.factor === 1 && decimals <= kept) {
      steps = Math.round(mantissa * (POWERS[kept - decimals] as number)) + 0;
    } else {
      const value = mantissa / (POWERS[decimals] as number);
      const canonical = (value * conversion.scale + conversion.offset) * plan.factor;
      steps = Math.round(canonical * (CHANNEL_STEPS[channel] as number)) + 0;
    }
    return steps >= plan.lowest && steps <= plan.highest ? steps : REFUSED;
  }

  private countBadCell(state: number, line: number, channel: number): void {
    const reason =
      state === CELL.notATrigger ? 'not-a-trigger' : state === CELL.unusableName ? 'unusable-name' : 'not-a-number';
    this.tally.unusable(reason, line, CHANNEL_NAMES[channel]);
  }
}
