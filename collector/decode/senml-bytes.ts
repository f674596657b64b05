import { HASH_SEED, hashByte } from './byte-names.ts';
import { ByteNumbers } from './byte-numbers.ts';
import { LABEL, type SenmlRecord } from './senml-record.ts';

const [QUOTE, BACKSLASH, COMMA, COLON] = [34, 92, 44, 58] as const;
const [OPEN_LIST, CLOSE_LIST, OPEN_OBJECT, CLOSE_OBJECT] = [91, 93, 123, 125] as const;

/** Labels by their bytes, the first one lowest. */
const LABEL_CODES: ReadonlyMap<number, number> = new Map(
  Object.entries(LABEL).map(([label, bit]) => [
    [...label].reduceRight((code, c) => code * 256 + c.charCodeAt(0), 0),
    bit,
  ]),
);
/** Bits of the labels of one letter, by that letter. */
const LETTERS = Uint16Array.from({ length: 128 }, (_, code) => LABEL_CODES.get(code) ?? 0);
const TEXT = LABEL.bn | LABEL.bu | LABEL.n | LABEL.u | LABEL.vs | LABEL.vd;

const SLOTS = 4096;

/**
 * Reads the records of the packs that sensors really send: flat objects, known labels, plain ASCII strings without
 * escapes, numbers without exponent. It gives up on everything else, right or wrong, which the general way then
 * reads; what it does read, it reads as that does.
 */
export class SenmlBytes extends ByteNumbers {
  /** Where numbers and truth values stand, label, start and end of each, in their order; null when nobody asks. */
  marks: number[] | null = null;
  private first = true;
  private text = '';
  /** Strings seen before, by hash: sensors send the same few names and units for ever. */
  private readonly seen: string[] = new Array(SLOTS).fill('');

  /** Begins a pack. @returns false to give up */
  begin(bytes: Buffer): boolean {
    this.bytes = bytes;
    this.at = 0;
    this.first = true;
    this.skipBlanks();
    return bytes[this.at++] === OPEN_LIST;
  }

  /** Reads the next record. @returns 1 a record, 0 the pack is over, -1 to give up */
  next(record: SenmlRecord): number {
    this.skipBlanks();
    const { bytes } = this;
    if (!this.first) {
      const byte = bytes[this.at++];
      if (byte === CLOSE_LIST) {
        this.skipBlanks();
        return this.at === bytes.length ? 0 : -1;
      }
      if (byte !== COMMA) return -1;
      this.skipBlanks();
    }
    this.first = false;
    if (bytes[this.at++] !== OPEN_OBJECT) return -1;
    record.has = 0;
    for (;;) {
      this.skipBlanks();
      if (bytes[this.at++] !== QUOTE) return -1;
      const bit = this.readLabel();
      if (bit === 0 || (record.has & bit) !== 0) return -1;
      this.skipBlanks();
      if (bytes[this.at++] !== COLON) return -1;
      this.skipBlanks();
      if (!this.readValue(record, bit)) return -1;
      record.has |= bit;
      this.skipBlanks();
      const byte = bytes[this.at++];
      if (byte === CLOSE_OBJECT) return 1;
      if (byte !== COMMA) return -1;
    }
  }

  /** Bit of the label that begins here, 0 for one that is unknown. */
  private readLabel(): number {
    const { bytes, at } = this;
    const letter = bytes[at];
    if (letter !== undefined && bytes[at + 1] === QUOTE) {
      this.at = at + 2;
      return letter < 128 ? (LETTERS[letter] as number) : 0;
    }
    let code = 0;
    for (let weight = 1; weight <= 0x1000000; weight *= 256) {
      const byte = bytes[this.at++];
      if (byte === QUOTE) return LABEL_CODES.get(code) ?? 0;
      code += (byte ?? 0) * weight;
    }
    return bytes[this.at++] === QUOTE ? (LABEL_CODES.get(code) ?? 0) : 0;
  }

  private readValue(record: SenmlRecord, bit: number): boolean {
    if (bit & TEXT) {
      if (!this.readText()) return false;
      if (bit === LABEL.n) record.n = this.text;
      else if (bit === LABEL.u) record.u = this.text;
      else if (bit === LABEL.bn) record.bn = this.text;
      else if (bit === LABEL.bu) record.bu = this.text;
      else if (bit === LABEL.vs) record.vs = this.text;
      else record.vd = this.text;
      return true;
    }
    const from = this.at;
    if (bit === LABEL.vb ? !this.readBoolean() : !this.readNumber()) return false;
    this.marks?.push(bit, from, this.at);
    if (bit === LABEL.vb) record.vb = this.number === 1;
    else if (bit === LABEL.v) record.v = this.number;
    else if (bit === LABEL.t) record.t = this.number;
    else if (bit === LABEL.bt) record.bt = this.number;
    else if (bit === LABEL.bv) record.bv = this.number;
    else if (bit === LABEL.bs) record.bs = this.number;
    else if (bit === LABEL.bver) record.bver = this.number;
    else if (bit === LABEL.s) record.s = this.number;
    else record.ut = this.number;
    return true;
  }

  private readText(): boolean {
    const { bytes } = this;
    if (bytes[this.at] !== QUOTE) return false;
    const from = this.at + 1;
    let to = from;
    let hash = HASH_SEED;
    for (;;) {
      const byte = bytes[to];
      if (byte === QUOTE) break;
      if (byte === undefined || byte < 32 || byte > 126 || byte === BACKSLASH) return false;
      hash = hashByte(hash, byte);
      to++;
    }
    this.at = to + 1;
    const slot = (hash ^ (hash >>> 15)) & (SLOTS - 1);
    const known = this.seen[slot] as string;
    if (isSame(known, bytes, from, to)) {
      this.text = known;
      return true;
    }
    this.text = bytes.toString('latin1', from, to);
    // Longer ones do not come often, and would be kept for ever.
    if (to - from <= 100) this.seen[slot] = this.text;
    return true;
  }
}

function isSame(text: string, bytes: Buffer, from: number, to: number): boolean {
  const length = to - from;
  if (text.length !== length) return false;
  for (let index = 0; index < length; index++) if (text.charCodeAt(index) !== bytes[from + index]) return false;
  return true;
}
