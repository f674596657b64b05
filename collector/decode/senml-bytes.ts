import { HASH_SEED, hashByte } from './byte-names.ts';
import { LABEL, type SenmlRecord } from './senml-record.ts';

const [QUOTE, BACKSLASH, COMMA, MINUS, POINT, COLON] = [34, 92, 44, 45, 46, 58] as const;
const [OPEN_LIST, CLOSE_LIST, OPEN_OBJECT, CLOSE_OBJECT] = [91, 93, 123, 125] as const;
/** Digits that a double holds exactly. Source: IEEE 754-2019, 53 bits of significand. */
const EXACT_DIGITS = 15;
const POWERS = Array.from({ length: 16 }, (_, exponent) => 10 ** exponent);

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
export class SenmlBytes {
  private bytes: Buffer = Buffer.alloc(0);
  private at = 0;
  private first = true;
  private number = 0;
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

  private skipBlanks(): void {
    const { bytes } = this;
    let byte = bytes[this.at];
    while (byte === 32 || byte === 10 || byte === 13 || byte === 9) byte = bytes[++this.at];
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
    if (bit === LABEL.vb) return this.readBoolean(record);
    if (!this.readNumber()) return false;
    if (bit === LABEL.v) record.v = this.number;
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

  private readBoolean(record: SenmlRecord): boolean {
    const { bytes, at } = this;
    const byte = bytes[at];
    // 'true' and 'false', letter by letter.
    if (byte === 116 && bytes[at + 1] === 114 && bytes[at + 2] === 117 && bytes[at + 3] === 101) {
      record.vb = true;
      this.at = at + 4;
      return true;
    }
    if (byte !== 102 || bytes[at + 1] !== 97 || bytes[at + 2] !== 108 || bytes[at + 3] !== 115) return false;
    if (bytes[at + 4] !== 101) return false;
    record.vb = false;
    this.at = at + 5;
    return true;
  }

  /** A JSON number without exponent; what it is not, it leaves to the general way. */
  private readNumber(): boolean {
    const { bytes } = this;
    const from = this.at;
    let to = from;
    let byte = bytes[to] as number;
    if (byte === MINUS) byte = bytes[++to] as number;
    const first = to;
    let mantissa = 0;
    while (byte >= 48 && byte <= 57) {
      mantissa = mantissa * 10 + (byte - 48);
      byte = bytes[++to] as number;
    }
    let digits = to - first;
    if (digits === 0 || (digits > 1 && bytes[first] === 48)) return false;
    let places = 0;
    if (byte === POINT) {
      const start = ++to;
      byte = bytes[to] as number;
      while (byte >= 48 && byte <= 57) {
        mantissa = mantissa * 10 + (byte - 48);
        byte = bytes[++to] as number;
      }
      places = to - start;
      if (places === 0) return false;
      digits += places;
    }
    if (byte === 101 || byte === 69) return false;
    this.at = to;
    if (digits > EXACT_DIGITS) this.number = Number(bytes.toString('latin1', from, to));
    else {
      const size = places === 0 ? mantissa : mantissa / (POWERS[places] as number);
      this.number = bytes[from] === MINUS ? -size : size;
    }
    return true;
  }
}

function isSame(text: string, bytes: Buffer, from: number, to: number): boolean {
  const length = to - from;
  if (text.length !== length) return false;
  for (let index = 0; index < length; index++) if (text.charCodeAt(index) !== bytes[from + index]) return false;
  return true;
}
