import { quoted } from '../contract/index.ts';
import { fillRecord, LABEL, SenmlRecord } from './senml-record.ts';

/** Times below this are relative to now. Source: RFC 8428 section 4.5.3. */
export const RELATIVE_BELOW_S = 2 ** 28;
/** Source: RFC 8428 section 4.4; a pack that names no version has this one. */
const DEFAULT_VERSION = 10;
/** Version 10 with the feature "secondary units", bit 4. Source: RFC 9193 section 3, RFC 8798 section 3. */
const SECONDARY_UNITS_VERSION = DEFAULT_VERSION + 2 ** 4;
/** Source: RFC 8428 section 4.5.1. */
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;
/** Base64 with the URL-safe alphabet and without padding. Source: RFC 8428 section 5, RFC 4648 section 5. */
const BASE64URL = /^(?:[A-Za-z0-9_-]{4})*(?:[A-Za-z0-9_-]{2,3})?$/;

const BASE = LABEL.bn | LABEL.bt | LABEL.bu | LABEL.bv | LABEL.bs | LABEL.bver;
const VALUE = LABEL.v | LABEL.vs | LABEL.vb | LABEL.vd;

/** What `step` made of a record. */
export const STEP = { fault: -1, baseOnly: 0, resolved: 1 } as const;

/** Whether a resolved name has the characters that RFC 8428 section 4.5.1 allows. */
export function isSenmlName(name: string): boolean {
  return NAME.test(name);
}

/**
 * Resolves the records of one pack, one after the other: base fields hold for their record and all later ones until
 * they appear again. Fields of the class are the resolved record; its name is `base + own`, checked by the caller.
 */
export class SenmlResolver {
  base = '';
  own = '';
  /** Unit, '' when neither the record nor a base unit names one. */
  unit = '';
  hasUnit = false;
  /** Epoch ms, rounded to 1 ms. */
  ms = 0;
  /** It was said relative to now. */
  relative = false;
  /** Sum of base value and value. */
  value = 0;
  /** Sum of base sum and sum. */
  sum = 0;
  /** Of the whole pack. */
  version = DEFAULT_VERSION;
  /** What was wrong, after `STEP.fault`. */
  fault = '';
  private baseTime = 0;
  private baseUnit = '';
  private hasBaseUnit = false;
  private baseValue = 0;
  private baseSum = 0;
  private first = true;
  private nowMs = 0;
  private absolute = false;

  /**
   * Gets ready for a pack.
   *
   * @param absolute what has a time has it since 1970, however small: no SenML of a sender's own
   */
  begin(nowMs: number, absolute = false): void {
    this.absolute = absolute;
    this.base = '';
    this.version = DEFAULT_VERSION;
    this.baseTime = 0;
    this.baseUnit = '';
    this.hasBaseUnit = false;
    this.baseValue = 0;
    this.baseSum = 0;
    this.first = true;
    this.nowMs = nowMs;
  }

  /** @returns one of STEP */
  step(record: SenmlRecord): number {
    const { has } = record;
    if (has & BASE && !this.takeBase(record)) return STEP.fault;
    this.first = false;
    const values = has & VALUE;
    if ((values & (values - 1)) !== 0) return this.fail('found more than one of v, vs, vb, vd, expected one');
    if (values === 0 && (has & LABEL.s) === 0) {
      if (has !== 0 && (has & ~BASE) === 0) return STEP.baseOnly;
      return this.fail('found no value, expected one of v, vs, vb, vd, or a sum');
    }
    if (has & LABEL.vd && !BASE64URL.test(record.vd)) {
      return this.fail(`"vd": found ${quoted(record.vd)}, expected base64url without padding`);
    }
    this.own = has & LABEL.n ? record.n : '';
    this.hasUnit = (has & LABEL.u) !== 0 || this.hasBaseUnit;
    this.unit = has & LABEL.u ? record.u : this.baseUnit;
    const seconds = this.baseTime + (has & LABEL.t ? record.t : 0);
    this.relative = this.absolute ? (has & LABEL.t) === 0 : seconds < RELATIVE_BELOW_S;
    this.ms = Math.round(seconds * 1000 + (this.relative ? this.nowMs : 0));
    if (!Number.isFinite(this.ms)) return this.fail('found a time beyond all numbers, expected seconds');
    this.value = this.baseValue + (has & LABEL.v ? record.v : 0);
    this.sum = this.baseSum + (has & LABEL.s ? record.s : 0);
    return STEP.resolved;
  }

  private takeBase(record: SenmlRecord): boolean {
    const { has } = record;
    if (has & LABEL.bver && !this.takeVersion(record.bver)) return false;
    if (has & LABEL.bn) this.base = record.bn;
    if (has & LABEL.bt) this.baseTime = record.bt;
    if (has & LABEL.bu) {
      this.baseUnit = record.bu;
      this.hasBaseUnit = true;
    }
    if (has & LABEL.bv) this.baseValue = record.bv;
    if (has & LABEL.bs) this.baseSum = record.bs;
    return true;
  }

  private takeVersion(version: number): boolean {
    const known = version <= DEFAULT_VERSION || version === SECONDARY_UNITS_VERSION;
    if (!Number.isInteger(version) || version < 1 || !known) {
      this.fault = `"bver": found ${version}, expected 1 to ${DEFAULT_VERSION}, or ${SECONDARY_UNITS_VERSION}`;
      return false;
    }
    if (!this.first && version !== this.version) {
      this.fault = `"bver": found ${version}, expected ${this.version} as in the records before`;
      return false;
    }
    this.version = version;
    return true;
  }

  private fail(fault: string): number {
    this.fault = fault;
    return STEP.fault;
  }
}

/** A resolved record, RFC 8428 section 4.6: absolute time in seconds, no base fields. */
export interface ResolvedRecord {
  readonly n: string;
  readonly u?: string;
  readonly t: number;
  readonly v?: number;
  readonly vs?: string;
  readonly vb?: boolean;
  readonly vd?: string;
  readonly s?: number;
  /** Only when it is not the default. */
  readonly bver?: number;
}

export type Resolution =
  | { readonly ok: true; readonly records: ResolvedRecord[] }
  | { readonly ok: false; readonly detail: string };

/**
 * The resolved form of a pack, in order of time, as RFC 8428 section 4.6 describes it.
 *
 * @param pack parsed JSON
 * @param nowMs receiver's clock, epoch ms
 * @example
 * resolvePack([{ bn: 'a/', n: 'b', v: 1 }], 1498780179000); // { ok: true, records: [{ n: 'a/b', t: 1498780179, v: 1 }] }
 */
export function resolvePack(pack: unknown, nowMs: number): Resolution {
  if (!Array.isArray(pack) || pack.length === 0) {
    return { ok: false, detail: `found ${quoted(pack)}, expected a list of one or more records` };
  }
  const resolver = new SenmlResolver();
  const record = new SenmlRecord();
  const records: ResolvedRecord[] = [];
  resolver.begin(nowMs);
  for (const [index, item] of pack.entries()) {
    const fault = fillRecord(record, item);
    const step = fault === null ? resolver.step(record) : STEP.fault;
    if (step === STEP.fault) return { ok: false, detail: `record ${index + 1}: ${fault ?? resolver.fault}` };
    if (step === STEP.baseOnly) continue;
    const n = resolver.base + resolver.own;
    if (!isSenmlName(n)) {
      return { ok: false, detail: `record ${index + 1}: ${nameFault(n)}` };
    }
    records.push({
      n,
      t: resolver.ms / 1000,
      ...(resolver.version === DEFAULT_VERSION ? {} : { bver: resolver.version }),
      ...(resolver.hasUnit ? { u: resolver.unit } : {}),
      ...(record.has & LABEL.v ? { v: resolver.value } : {}),
      ...(record.has & LABEL.vs ? { vs: record.vs } : {}),
      ...(record.has & LABEL.vb ? { vb: record.vb } : {}),
      ...(record.has & LABEL.vd ? { vd: record.vd } : {}),
      ...(record.has & LABEL.s ? { s: resolver.sum } : {}),
    });
  }
  records.sort((left, right) => left.t - right.t);
  return { ok: true, records };
}

/** What is wrong with a resolved name. */
export function nameFault(name: string): string {
  return `found the name ${quoted(name)}, expected A-Z a-z 0-9 - : . / _ with a letter or digit first`;
}
