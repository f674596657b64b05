import { type Decoded, Refusals } from '../decoded.ts';
import type { Reason } from '../reasons.ts';
import type { MappedValue } from './mapped-value.ts';

/** What a message outside the contract's topics has become. */
export interface Translated {
  /** Readings by station, through the same checks as SenML; a part that failed whole is a refusal. */
  readonly parts: readonly TranslatedPart[];
  readonly refusals: readonly { readonly reason: Reason; readonly detail: string }[];
  readonly online: readonly { readonly station: string; readonly online: boolean }[];
  /** To be known again after a restart, by topic; an empty payload is to be forgotten. */
  readonly keep: readonly { readonly topic: string; readonly payload: Buffer }[];
}

export interface TranslatedPart {
  readonly station: string;
  readonly decoded: Extract<Decoded, { ok: true }>;
  /** Its sender says that they were kept and come later: their times say nothing of its clock, also where they cannot be true. */
  readonly stored: boolean;
}

/** Translates a message of a topic that `claims` takes; never throws on any payload. */
export interface Translator {
  claims(topic: string): boolean;
  translate(topic: string, payload: Buffer, receivedAt: number): Translated;
}

/** SenML records of several stations while they are gathered from one message. */
export class Translation {
  readonly refusals = new Refusals();
  readonly online: { station: string; online: boolean }[] = [];
  readonly keep: { topic: string; payload: Buffer }[] = [];
  readonly #records = new Map<string, object[]>();
  readonly #stored = new Map<string, object[]>();
  #count = 0;

  /** Records so far. */
  get count(): number {
    return this.#count;
  }

  refuse(reason: Reason, detail: string): void {
    this.refusals.add(reason, () => detail);
  }

  /**
   * @param record its SenML name (provenance and channel), unit, and epoch ms
   * @param stored its sender says that it was kept and comes later
   */
  add(
    station: string,
    { name, unit, ms }: { readonly name: string; readonly unit: string | undefined; readonly ms: number },
    value: MappedValue,
    stored = false,
  ): void {
    if ('reason' in value) {
      this.refuse(value.reason, value.detail);
      return;
    }
    const of = stored ? this.#stored : this.#records;
    let records = of.get(station);
    if (records === undefined) {
      records = [];
      of.set(station, records);
    }
    this.#count++;
    records.push(
      unit === undefined ? { n: name, t: ms / 1000, ...value } : { n: name, u: unit, t: ms / 1000, ...value },
    );
  }

  /** @param decode the SenML decoder's way in for records */
  finish(decode: (records: readonly object[], station: string) => Decoded): Translated {
    const parts: TranslatedPart[] = [];
    const refusals: { reason: Reason; detail: string }[] = this.refusals.list();
    for (const of of [this.#stored, this.#records])
      for (const [station, records] of of) {
        const decoded = decode(records, station);
        if (decoded.ok) parts.push({ station, decoded, stored: of === this.#stored });
        else refusals.push({ reason: decoded.reason, detail: decoded.detail });
      }
    return { parts, refusals, online: this.online, keep: this.keep };
  }
}

/** Longest name of a sensor. Source: the limit on SenML names, less the longest channel. */
const MOST_PROVENANCE = 200;

/**
 * A topic as what stands before the channel in a SenML name: RFC 8428 section 4.5.1 allows few characters.
 *
 * @example
 * provenanceOf('gateway/7/port[2]'); // 'gateway/7/port_2_/'
 */
export function provenanceOf(topic: string): string {
  const name = topic.replace(/[^A-Za-z0-9\-:./_]/g, '_').replace(/^[^A-Za-z0-9]+/, '');
  return name === '' ? '' : `${name.slice(0, MOST_PROVENANCE)}/`;
}
