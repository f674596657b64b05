const [QUOTE, BACKSLASH, CAPITAL_E] = [34, 92, 69] as const;

/** What has to be known of JSON text before it is parsed. */
export interface JsonScan {
  /** Deepest nesting of lists and objects. */
  readonly depth: number;
  /** Lists and objects: what takes time and memory to build. */
  readonly containers: number;
  /** A capital E outside of strings: in valid JSON that is an exponent's. */
  readonly capitalExponent: boolean;
}

/** Scans JSON text in one pass, without recursion. */
export function scanJson(bytes: Buffer): JsonScan {
  let depth = 0;
  let deepest = 0;
  let containers = 0;
  let capitalExponent = false;
  for (let at = 0; at < bytes.length; at++) {
    const byte = bytes[at];
    if (byte === QUOTE) {
      for (at++; at < bytes.length && bytes[at] !== QUOTE; at++) if (bytes[at] === BACKSLASH) at++;
    } else if (byte === 91 || byte === 123) {
      depth++;
      containers++;
      if (depth > deepest) deepest = depth;
    } else if (byte === 93 || byte === 125) depth--;
    else if (byte === CAPITAL_E) capitalExponent = true;
  }
  return { depth: deepest, containers, capitalExponent };
}
