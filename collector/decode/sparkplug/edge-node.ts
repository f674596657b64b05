import type { SparkplugMetric } from './sparkplug-payload.ts';

/** Metrics remembered of one edge node and its devices. Source: own choice, because junk must not fill the memory. */
const MOST_METRICS = 20_000;

/** A metric that a birth has told of. */
export interface BornMetric {
  readonly name: string;
  readonly datatype: number;
}

/**
 * Metrics by name and by alias. An alias is unique in the whole node (section 6.4.4), so it needs no more than its own birth; nodes that
 * number each device anew are understood as well, and never taken for another device.
 */
interface Birth {
  readonly names: Map<string, BornMetric>;
  readonly aliases: Map<number, BornMetric>;
  /** No death of the device has come since. */
  alive: boolean;
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
  /** Topics of the births of its devices. */
  readonly deviceBirths = new Set<string>();
  #nextSeq: number | null = null;
  readonly #stations = new Map<string | null, ReadonlySet<string>>();
  /** What the latest birth of the node (null) and of each device has told. */
  readonly #births = new Map<string | null, Birth>();

  /** A new session of the node: all that it and its devices had is over. */
  beginSession(bdSeq: number | null): void {
    this.born = true;
    this.alive = true;
    this.bdSeq = bdSeq;
    this.restored = false;
    this.missed = false;
    this.deviceBirths.clear();
    this.#births.clear();
  }

  /** Takes in the metrics of a birth, in the place of those of the birth before. */
  learn(device: string | null, metrics: readonly SparkplugMetric[]): void {
    this.#births.delete(device);
    let room = MOST_METRICS - this.#births.size;
    for (const { names, aliases } of this.#births.values()) room -= Math.max(names.size, aliases.size);
    const birth: Birth = { names: new Map(), aliases: new Map(), alive: true };
    for (const { name, alias, datatype } of metrics.slice(0, Math.max(0, room))) {
      if (name === null) continue;
      const born = { name, datatype };
      birth.names.set(name, born);
      if (alias !== null) birth.aliases.set(alias, born);
    }
    if (room > 0) this.#births.set(device, birth);
  }

  /** Notes whose readings come from the node (null) or one of its devices. */
  brings(device: string | null, stations: ReadonlySet<string>): void {
    if (this.#stations.size < MOST_METRICS || this.#stations.has(device)) this.#stations.set(device, stations);
  }

  /** Whether readings come from the node or any of its devices. */
  get bringsAny(): boolean {
    return this.#stations.size > 0;
  }

  /** Whose readings come from the node (null) or this device. */
  stationsOf(device: string | null): ReadonlySet<string> {
    return this.#stations.get(device) ?? new Set();
  }

  /** Whose readings come from the node or any of its devices. */
  get stations(): ReadonlySet<string> {
    return new Set([...this.#stations.values()].flatMap((stations) => [...stations]));
  }

  /** The device has died: a message before its next birth is still understood, and calls for one. */
  deviceDied(device: string | null): void {
    const birth = this.#births.get(device);
    if (birth !== undefined) birth.alive = false;
  }

  /** Whether the node (null) or device has told of its metrics, and not died since. */
  isBorn(device: string | null): boolean {
    return this.#births.get(device)?.alive === true;
  }

  /** The metric that a message of the node (null) or device means, by its alias or name; null when its birth has not told of it. */
  find(device: string | null, { name, alias }: SparkplugMetric): BornMetric | null {
    const birth = this.#births.get(device);
    if (birth === undefined) return null;
    if (name !== null) return birth.names.get(name) ?? null;
    return alias === null ? null : (birth.aliases.get(alias) ?? null);
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
