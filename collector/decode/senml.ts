import { CHANNELS, lookUpUnit, type Plant, quoted, unitsOf } from '../contract/index.ts';
import { ColumnsByTime } from './columns-by-time.ts';
import { type Decode, type Decoded, NO_REFUSALS, PACK_LIMITS, type PackLimits, Refusals, refused } from './decoded.ts';
import { readJson } from './json-payload.ts';
import { CANONICAL, type LearntRecord, learntRecord } from './learnt-record.ts';
import type { Reason } from './reasons.ts';
import { SenmlBytes } from './senml-bytes.ts';
import { fillRecord, LABEL, SenmlRecord } from './senml-record.ts';
import { nameFault, SenmlResolver, STEP } from './senml-resolve.ts';
import { SensorNames, withSensor } from './sensor-names.ts';
import { planStations, type StationPlan, toSteps } from './station-plan.ts';
import { StationTemplates } from './station-templates.ts';

const CONTROL = /\p{Cc}|\p{Cs}/u;

/** A decoder of SenML packs (RFC 8428, JSON) for the stations of a plant, with the channels, units and limits of `collector/contract/`. */
export class SenmlDecoder {
  private readonly plans: ReadonlyMap<string, StationPlan>;
  private readonly limits: PackLimits;
  private readonly quick = new SenmlBytes();
  private readonly record = new SenmlRecord();
  private readonly resolver = new SenmlResolver();
  private readonly names = new SensorNames();
  private readonly templates = new StationTemplates();
  private learnt: LearntRecord[] | null = null;
  private readonly columns = new ColumnsByTime((reason, detail) => this.refuse(reason, detail));
  private refusals: Refusals | null = null;
  private outOfRange: Map<string, number> | null = null;
  private provenance: string | null = null;
  private index = 0;

  constructor(plant: Plant, limits: PackLimits = PACK_LIMITS) {
    this.plans = planStations(plant);
    this.limits = limits;
  }

  /**
   * @param station id from the topic
   * @param receivedAt receiver's clock, epoch ms
   */
  decode(payload: Buffer, station: string, receivedAt: number): Decoded {
    const plan = this.plans.get(station);
    if (plan === undefined) return unknownStation(station);
    if (payload.length > this.limits.bytes)
      return refused('too-large', `found ${payload.length} bytes, expected at most ${this.limits.bytes}`);
    const template = this.templates.of(plan);
    const pack = template.read(payload, receivedAt, receivedAt + this.limits.aheadMs);
    if (pack !== null) return { ok: true, pack, refusals: NO_REFUSALS, ahead: null };
    const marks = template.wanted ? [] : null;
    this.quick.marks = marks;
    this.learnt = marks && [];
    const decoded = this.decodeQuickly(payload, plan, receivedAt);
    if (marks !== null) template.learn(payload, decoded, marks, this.learnt!);
    return decoded ?? this.decodeAny(payload, plan, receivedAt);
  }

  /** The general way, for any payload. */
  decodeAny(payload: Buffer, plan: StationPlan, receivedAt: number): Decoded {
    const parsed = readJson(payload, this.limits, 'SenML JSON');
    if (!parsed.ok) return parsed;
    const { value, capitalExponent } = parsed;
    if (!Array.isArray(value) || value.length === 0)
      return refused('not-senml', `found ${quoted(value)}, expected a list of one or more records`);
    if (capitalExponent) return refused('not-senml', 'found an exponent with "E", expected "e" (section 5)');
    return this.takeAll(value, plan, receivedAt);
  }

  /**
   * What another decoder made of its payload: SenML records with names, units, times and values, of one station. Their times
   * count from 1970, also those that SenML would take for relative to now.
   */
  decodeRecords(records: readonly unknown[], station: string, receivedAt: number): Decoded {
    const plan = this.plans.get(station);
    return plan === undefined ? unknownStation(station) : this.takeAll(records, plan, receivedAt, true);
  }

  private takeAll(records: readonly unknown[], plan: StationPlan, receivedAt: number, absolute = false): Decoded {
    if (records.length > this.limits.records)
      return refused('too-large', `found ${records.length} records, expected at most ${this.limits.records}`);
    this.begin(receivedAt, absolute);
    for (const item of records) {
      this.index++;
      const fault = fillRecord(this.record, item) ?? this.take(plan);
      if (fault !== null) return refused('not-senml', `record ${this.index}: ${fault}`);
    }
    return this.finish(plan);
  }

  /** The usual way, for packs as sensors send them; null to leave a payload to the general way. */
  decodeQuickly(payload: Buffer, plan: StationPlan, receivedAt: number): Decoded | null {
    const { quick, record } = this;
    if (!quick.begin(payload)) return null;
    this.begin(receivedAt);
    for (;;) {
      const got = quick.next(record);
      if (got === 0) return this.finish(plan);
      if (got < 0 || ++this.index > this.limits.records || this.take(plan) !== null) return null;
      this.learnt?.push(learntRecord(record, this.resolver, this.names, plan, quick.marks?.length ?? 0));
    }
  }

  private begin(receivedAt: number, absolute = false): void {
    this.resolver.begin(receivedAt, absolute);
    this.columns.begin(receivedAt, this.limits.aheadMs);
    this.refusals = null;
    this.outOfRange = null;
    this.provenance = null;
    this.index = 0;
  }

  /** Takes the record at hand. @returns null, or how it violates the RFC */
  private take(plan: StationPlan): string | null {
    const { resolver } = this;
    const step = resolver.step(this.record);
    if (step === STEP.fault) return resolver.fault;
    if (step === STEP.baseOnly) return null;
    const length = resolver.base.length + resolver.own.length;
    if (length > this.limits.nameLength) {
      return `found a name of ${length} characters, expected at most ${this.limits.nameLength}`;
    }
    const name = this.names.read(resolver.base, resolver.own);
    if (!name.valid) return nameFault(resolver.base + resolver.own);
    if (name.channel < 0) this.refuse('unknown-channel', 'expected a name that ends with a channel');
    else {
      const value = this.readValue(plan, name.channel);
      if (value !== null) this.columns.take(resolver.ms, resolver.relative, name.channel, value);
      if (name.provenance !== this.provenance) this.provenance = withSensor(this.provenance, name.provenance);
    }
    return null;
  }

  /** The value in canonical units, rounded to the channel's resolution; null when it was refused. */
  private readValue(plan: StationPlan, channel: number): number | string | null {
    const { record, resolver } = this;
    const info = CHANNELS[channel] as (typeof CHANNELS)[number];
    const label = info.kind === 'number' ? LABEL.v : info.kind === 'boolean' ? LABEL.vb : LABEL.vs;
    if ((record.has & label) === 0) {
      if ((record.has & (LABEL.v | LABEL.vs | LABEL.vb | LABEL.vd)) === 0) this.refuse('no-value', 'expected a value');
      else this.refuse('wrong-kind', `expected a ${info.kind}`);
      return null;
    }
    if (info.kind === 'boolean') return record.vb ? 1 : 0;
    if (info.kind === 'string') {
      const { vs } = record;
      if (vs !== '' && vs.length <= this.limits.textLength && !CONTROL.test(vs)) return vs;
      this.refuse('unusable-name', `found ${quoted(vs)}, expected 1 to ${this.limits.textLength} characters`);
      return null;
    }
    const lookup = resolver.hasUnit ? lookUpUnit(info.dimension, resolver.unit) : null;
    if (lookup !== null && lookup.kind !== 'ok') {
      const units = info.dimension === null ? [] : unitsOf(info.dimension);
      const reason = lookup.kind === 'unknown' ? 'unknown-unit' : 'wrong-dimension';
      this.refuse(reason, `found ${quoted(resolver.unit)}, expected one of ${units.join(' ')}`);
      return null;
    }
    const limits = plan.channels[channel] as StationPlan['channels'][number];
    const steps = toSteps(limits, lookup?.conversion ?? CANONICAL, resolver.value);
    if (!Number.isNaN(steps)) return steps / limits.steps;
    const range = `${limits.lowest / limits.steps} to ${limits.highest / limits.steps} ${info.canonical}`;
    const unit = resolver.hasUnit ? ` ${resolver.unit}` : '';
    this.refuse('out-of-range', `found ${resolver.value}${unit}, expected ${range}`);
    this.countOutOfRange(info.name);
    return null;
  }

  private refuse(reason: Reason, detail: string): void {
    this.refusals ??= new Refusals();
    const { index } = this;
    const name = this.resolver.base + this.resolver.own;
    this.refusals.add(reason, () => `record ${index} ${quoted(name)}: ${detail}`);
  }

  private countOutOfRange(channel: string): void {
    const { ms } = this.resolver;
    if (!this.columns.keeps(ms)) return;
    const key = `${channel} ${Math.floor(ms / 3_600_000)}`;
    this.outOfRange ??= new Map();
    this.outOfRange.set(key, (this.outOfRange.get(key) ?? 0) + 1);
  }

  private finish(plan: StationPlan): Decoded {
    const { kept, ahead, early, allFromNow } = this.columns;
    const provenance = this.provenance ?? '';
    return {
      ok: true,
      pack: kept.toPack(plan.id, provenance),
      refusals: this.refusals?.list() ?? NO_REFUSALS,
      ahead: ahead && {
        claimedTime: ahead.times[0] as number,
        count: ahead.times.length,
        pack: ahead.toPack(plan.id, provenance),
      },
      ...(early && { early: early.toPack(plan.id, provenance) }),
      ...(allFromNow && { fromNow: true as const }),
      ...(this.outOfRange && { outOfRange: this.outOfRange }),
    };
  }
}

/** @see SenmlDecoder */
export function senmlDecoder(plant: Plant, limits?: PackLimits): Decode {
  const decoder = new SenmlDecoder(plant, limits);
  return (payload, station, receivedAt) => decoder.decode(payload, station, receivedAt);
}

function unknownStation(station: string): Decoded {
  return refused('unknown-station', `found ${quoted(station)}, expected an id of the plant file`);
}
