import type { SparkplugMetric } from './sparkplug-payload.ts';

/** Metrics remembered of one edge node and its devices. Source: own choice, because junk must not fill the memory. */
const MOST_METRICS = 20_000;

/** A metric that a birth has told of. */
export interface BornMetric {
  readonly name: string;
  readonly datatype: number;
}

/**
 * What is known of one edge node: its births, the number of its present session, and the number that its next message must
 * have. Source: Sparkplug 3.0.0 sections 5.10 to 5.14, 6.4.4 to 6.4.20.
 */
export class EdgeNode {
  /** Of the birth; null when it named none. */
  bdSeq: number | null = null;
  /** A birth has come since we know this node. */
  born = false;
  alive = false;
  /** A message of its session was missed, and it was not born anew since: a birth may be among what is missing. */
  missed = false;
  /** Its births were kept from before a restart: whether they still hold is to be asked. */
  restored = false;
  /** Stations whose readings come from the node (null) or one of its devices, as far as births have told. */
  readonly stations = new Map<string | null, ReadonlySet<string>>();
  /** Topics of the births of its devices. */
  readonly deviceBirths = new Set<string>();
  #nextSeq: number | null = null;
  #metrics = 0;
  /** Aliases hold for the whole node, its devices included; names for the node or one device. */
  readonly #aliases = new Map<number, BornMetric>();
  readonly #names = new Map<string, BornMetric>();

  /** A new session of the node: all that it and its devices had is over. */
  beginSession(bdSeq: number | null): void {
    this.born = true;
    this.alive = true;
    this.bdSeq = bdSeq;
    this.restored = false;
    this.missed = false;
    this.deviceBirths.clear();
    this.#aliases.clear();
    this.#names.clear();
    this.#metrics = 0;
  }

  /** Takes in the metrics of a birth. */
  learn(device: string | null, metrics: readonly SparkplugMetric[]): void {
    for (const { name, alias, datatype } of metrics) {
      if (name === null || this.#metrics >= MOST_METRICS) continue;
      this.#metrics++;
      const born = { name, datatype };
      this.#names.set(key(device, name), born);
      if (alias !== null) this.#aliases.set(alias, born);
    }
  }

  /** The metric that a message means, by its alias or name; null when no birth has told of it. */
  find(device: string | null, { name, alias }: SparkplugMetric): BornMetric | null {
    if (name !== null) return this.#names.get(key(device, name)) ?? null;
    return alias === null ? null : (this.#aliases.get(alias) ?? null);
  }

  /** Notes whether this number follows the one before, from 255 to 0; the first one of all follows anything. */
  count(seq: number | null): void {
    const expected = this.#nextSeq;
    this.#nextSeq = seq === null ? null : (seq + 1) % 256;
    if (expected !== null && seq !== expected) this.missed = true;
  }

  /** Begins counting with the number of a birth. */
  countFrom(seq: number | null): void {
    this.#nextSeq = seq === null ? null : (seq + 1) % 256;
  }
}

function key(device: string | null, name: string): string {
  return `${device ?? ''}\u0000${name}`;
}
