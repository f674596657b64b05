import type { Pack } from '../contract/index.ts';
import { REASONS, type Reason } from './reasons.ts';

/** What a decoder makes of one payload. */
export type Decoded =
  | {
      readonly ok: true;
      /** Readings to keep; may be empty. */
      readonly pack: Pack;
      /** What could not be used, one entry a reason, with the first case in words. */
      readonly refusals: readonly { readonly reason: Reason; readonly detail: string; readonly count: number }[];
      /** Readings whose time is too far ahead of the receiver's clock: kept apart. Null when there are none. */
      readonly ahead: {
        /** The first such time, epoch ms. */
        readonly claimedTime: number;
        readonly count: number;
        readonly pack: Pack;
      } | null;
      /**
       * Readings whose time is before 2000, by their sender's clock: kept apart. Among them those ahead that were said
       * relative to now: their sender counts from 1970. Absent when there are none.
       */
      readonly early?: Pack;
      /**
       * All readings of `pack` were said to be of some seconds from now, as RFC 8428 has small times: a clock that began at
       * 1970 a moment ago says the same. Absent otherwise.
       */
      readonly fromNow?: true;
      /** Values outside their limits, counted by `<channel> <hour>`, hours since 1970; absent when there are none. */
      readonly outOfRange?: ReadonlyMap<string, number>;
    }
  | { readonly ok: false; readonly reason: Reason; readonly detail: string };

/** Decodes, checks and converts the payload of a station's topic; never throws on any payload. */
export type Decode = (payload: Buffer, station: string, receivedAt: number) => Decoded;

export interface PackLimits {
  /** Bytes of one payload. */
  readonly bytes: number;
  /** Records of one pack. */
  readonly records: number;
  /** Characters of a resolved name. */
  readonly nameLength: number;
  /** Characters of a powder id. */
  readonly textLength: number;
  /** Levels of JSON nesting; a pack itself has two, the rest is for labels that are ignored. */
  readonly depth: number;
  /** How far ahead of the receiver's clock a reading may be, ms. */
  readonly aheadMs: number;
}

/**
 * Source: own choice, because a day of stored readings, 8 channels every 10 s, must fit into one pack, and a clock
 * that is kept at all is not five minutes ahead.
 */
export const PACK_LIMITS: PackLimits = {
  bytes: 8_388_608,
  records: 100_000,
  nameLength: 256,
  textLength: 80,
  depth: 16,
  aheadMs: 300_000,
};

/** Refusals of one pack, gathered by reason. */
export class Refusals {
  readonly #counts = new Map<Reason, { detail: string; count: number }>();

  /** @param detail made only for the first case of a reason */
  add(reason: Reason, detail: () => string): void {
    const known = this.#counts.get(reason);
    if (known === undefined) this.#counts.set(reason, { detail: detail(), count: 1 });
    else known.count++;
  }

  list(): { reason: Reason; detail: string; count: number }[] {
    return [...this.#counts].map(([reason, { detail, count }]) => {
      const more = count > 1 ? `; ${count} records in all` : '';
      return { reason, detail: `${REASONS[reason]}: ${detail}${more}`, count };
    });
  }
}

/** The refusals of a pack without any. */
export const NO_REFUSALS: readonly never[] = [];

/** A payload of which nothing can be used. */
export function refused(reason: Reason, detail: string): { ok: false; reason: Reason; detail: string } {
  return { ok: false, reason, detail };
}
