import { type Conversion, EARLIEST_MS, LATEST_MS, type Pack } from '../contract/index.ts';
import { ByteNumbers } from './byte-numbers.ts';
import type { LearntRecord } from './learnt-record.ts';
import { LiteralWords, type PayloadMemory } from './literal-words.ts';
import { LABEL } from './senml-record.ts';
import { RELATIVE_BELOW_S } from './senml-resolve.ts';
import { type ChannelPlan, toSteps } from './station-plan.ts';

/** Longest pack and most numbers that are worth remembering. Source: own choice: one instant of all channels takes a fifth. */
const MOST_BYTES = 4096;
const MOST_NUMBERS = 64;
/** Labels of records that a template can say again; others are left to the usual way. */
const PLAIN = LABEL.bn | LABEL.bt | LABEL.bu | LABEL.bv | LABEL.n | LABEL.u | LABEL.v | LABEL.vs | LABEL.vb | LABEL.t;

/** What a record of a template means; numbers are places among the numbers of the pack, -1 for none. */
interface TemplateRecord {
  readonly bt: number;
  readonly bv: number;
  readonly t: number;
  readonly v: number;
  readonly vb: number;
  /** -1 for a record of base fields alone. */
  readonly channel: number;
  readonly limits: ChannelPlan;
  readonly conversion: Conversion;
  readonly text: string | null;
}

/**
 * A pack as one station sends it again and again, other numbers apart: its bytes between the numbers are compared, and
 * only the numbers are read. What it reads, it reads as the usual way does; everything else it leaves alone.
 */
export class PackTemplate {
  readonly #station: string;
  readonly #provenance: string;
  readonly #memory: PayloadMemory;
  /** What stands before each number, and behind the last. */
  readonly #literals: LiteralWords;
  /** Of each number 1 where it is a truth value. */
  readonly #truths: Uint8Array;
  readonly #records: readonly TemplateRecord[];
  readonly #channels: number[];
  readonly #numbers: Float64Array;
  readonly #reader = new ByteNumbers();

  private constructor(
    station: string,
    provenance: string,
    memory: PayloadMemory,
    literals: LiteralWords,
    truths: Uint8Array,
    records: TemplateRecord[],
  ) {
    this.#station = station;
    this.#provenance = provenance;
    this.#memory = memory;
    this.#literals = literals;
    this.#truths = truths;
    this.#records = records;
    this.#channels = records.filter(({ channel }) => channel >= 0).map(({ channel }) => channel);
    this.#numbers = new Float64Array(truths.length);
  }

  /**
   * Makes a template of a pack of which every record was kept; null where it is none that could come again so.
   *
   * @param marks label, start and end of each number and truth value, in their order
   * @param memory that the packs will lie in
   */
  static learn(
    payload: Buffer,
    pack: Pack,
    marks: readonly number[],
    learnt: readonly LearntRecord[],
    memory: PayloadMemory,
  ): PackTemplate | null {
    if (payload.length > MOST_BYTES || marks.length > 3 * MOST_NUMBERS) return null;
    const records: TemplateRecord[] = [];
    let mark = 0;
    for (const { has, channel, limits, conversion, text, marks: after } of learnt) {
      if ((has & ~PLAIN) !== 0) return null;
      const place = { bt: -1, bv: -1, t: -1, v: -1, vb: -1 };
      for (; mark < after; mark += 3) {
        const bit = marks[mark];
        if (bit === LABEL.bt) place.bt = mark / 3;
        else if (bit === LABEL.bv) place.bv = mark / 3;
        else if (bit === LABEL.t) place.t = mark / 3;
        else if (bit === LABEL.v) place.v = mark / 3;
        else place.vb = mark / 3;
      }
      const { bt, bv, t, v, vb } = place;
      records.push({ bt, bv, t, v, vb, channel, limits, conversion, text });
    }
    // A copy: the payload is a view of bytes that go away.
    const literals = literalsOf(Buffer.from(payload), marks);
    const truths = Uint8Array.from({ length: marks.length / 3 }, (_, place) => (marks[3 * place] === LABEL.vb ? 1 : 0));
    return literals && new PackTemplate(pack.station, pack.provenance, memory, literals, truths, records);
  }

  /**
   * Reads a pack that differs from the sample in nothing but its numbers, and of which every record can be kept.
   *
   * @param receivedAt receiver's clock, epoch ms
   * @param aheadAfter times after it are too far ahead, epoch ms
   * @returns null to leave it to the usual way
   */
  read(payload: Buffer, receivedAt: number, aheadAfter: number): Pack | null {
    return this.#readNumbers(payload) ? this.#resolve(receivedAt, aheadAfter) : null;
  }

  #readNumbers(payload: Buffer): boolean {
    const reader = this.#reader;
    const literals = this.#literals;
    const truths = this.#truths;
    const numbers = this.#numbers;
    const view = this.#memory.viewOf(payload);
    const { byteOffset, length } = payload;
    reader.bytes = payload;
    reader.at = 0;
    for (let place = 0; place < truths.length; place++) {
      const end = reader.at + literals.lengthOf(place);
      if (end > length || !literals.isAt(place, view, byteOffset + reader.at)) return false;
      reader.at = end;
      if (truths[place] === 1 ? !reader.readBoolean() : !reader.readNumber()) return false;
      reader.skipBlanks();
      numbers[place] = reader.number;
    }
    const rest = literals.lengthOf(truths.length);
    return length - reader.at === rest && literals.isAt(truths.length, view, byteOffset + reader.at);
  }

  /** As `SenmlResolver.step` and the decoder's checks, for records that can be kept. */
  #resolve(receivedAt: number, aheadAfter: number): Pack | null {
    const numbers = this.#numbers;
    const times: number[] = [];
    const values: number[] = [];
    const strings: string[] = [];
    let baseTime = 0;
    let baseValue = 0;
    const records = this.#records;
    for (let index = 0; index < records.length; index++) {
      const record = records[index]!;
      const { bt, bv, t, v, vb } = record;
      if (bt >= 0) baseTime = numbers[bt]!;
      if (bv >= 0) baseValue = numbers[bv]!;
      if (record.channel < 0) continue;
      const seconds = baseTime + (t >= 0 ? numbers[t]! : 0);
      const relative = seconds < RELATIVE_BELOW_S;
      const ms = Math.round(seconds * 1000 + (relative ? receivedAt : 0));
      // Where all are said to be of a time from now they may tell of a clock: the usual way looks.
      if (relative && ms > receivedAt && times.length === 0) return null;
      // Negated, so that what is no number fails too.
      if (!(ms >= EARLIEST_MS && ms <= LATEST_MS && ms <= aheadAfter)) return null;
      let value: number;
      if (vb >= 0) value = numbers[vb]!;
      else if (record.text !== null) value = placeOf(strings, record.text);
      else {
        const { limits } = record;
        const steps = toSteps(limits, record.conversion, baseValue + (v >= 0 ? numbers[v]! : 0));
        if (Number.isNaN(steps)) return null;
        value = steps / limits.steps;
      }
      times.push(ms);
      values.push(value);
    }
    // Nobody changes a pack's channels, so all packs of a template share them.
    return { station: this.#station, times, channels: this.#channels, values, strings, provenance: this.#provenance };
  }
}

/** What stands between the numbers. Blanks may follow a number and may be more or fewer the next time: they belong to it. */
function literalsOf(sample: Buffer, marks: readonly number[]): LiteralWords | null {
  const bounds: number[] = [0];
  const reader = new ByteNumbers();
  reader.bytes = sample;
  for (let mark = 0; mark < marks.length; mark += 3) {
    reader.at = marks[mark + 2]!;
    reader.skipBlanks();
    bounds.push(marks[mark + 1]!, reader.at);
  }
  return LiteralWords.of(sample, [...bounds, sample.length]);
}

function placeOf(strings: string[], text: string): number {
  const known = strings.indexOf(text);
  return known >= 0 ? known : strings.push(text) - 1;
}
