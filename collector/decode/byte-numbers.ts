const [MINUS, POINT] = [45, 46] as const;
/** Digits that a double holds exactly. Source: IEEE 754-2019, 53 bits of significand. */
const EXACT_DIGITS = 15;
const POWERS = Array.from({ length: 16 }, (_, exponent) => 10 ** exponent);

/** Reads JSON's blanks, numbers and truth values from bytes, as `JSON.parse` does or not at all. */
export class ByteNumbers {
  bytes: Buffer = Buffer.alloc(0);
  at = 0;
  /** The number read last; 1 or 0 after a truth value. */
  number = 0;

  skipBlanks(): void {
    const { bytes } = this;
    let byte = bytes[this.at];
    while (byte === 32 || byte === 10 || byte === 13 || byte === 9) byte = bytes[++this.at];
  }

  /** `true` or `false`. */
  readBoolean(): boolean {
    const { bytes, at } = this;
    const byte = bytes[at];
    // Letter by letter.
    if (byte === 116 && bytes[at + 1] === 114 && bytes[at + 2] === 117 && bytes[at + 3] === 101) {
      this.number = 1;
      this.at = at + 4;
      return true;
    }
    if (byte !== 102 || bytes[at + 1] !== 97 || bytes[at + 2] !== 108 || bytes[at + 3] !== 115) return false;
    if (bytes[at + 4] !== 101) return false;
    this.number = 0;
    this.at = at + 5;
    return true;
  }

  /** A JSON number without exponent; what it is not, it leaves to the general way. */
  readNumber(): boolean {
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
