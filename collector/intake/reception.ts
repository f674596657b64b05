import type { Delivery } from '../broker/delivery.ts';
import type { Pack } from '../contract/frames.ts';
import { quoted } from '../contract/printable.ts';
import type { Decode, Decoded } from '../decode/decoded.ts';
import type { Translator } from '../decode/mapped/translated.ts';
import type { Reason } from '../decode/reasons.ts';
import { PAYLOAD_BYTES } from '../store/quarantine.ts';
import { senmlPieces } from './ahead-readings.ts';
import type { Group } from './group.ts';
import { keptBirth } from './kept-births.ts';
import type { Corrected, SiteClocks } from './site-clocks.ts';
import { moved } from './waiting-packs.ts';

const AHEAD = 'ahead-of-clock';
const EARLY = 'before-2000';

export interface ReceptionRules {
  readonly site: string;
  /** Ids of guns and air points. */
  readonly stations: ReadonlySet<string>;
  readonly decode: Decode;
  readonly clocks: SiteClocks;
  /** For topics that the configuration maps; null where it maps none. */
  readonly translator: Translator | null;
}

/**
 * Decides what becomes of one message below the root, or of a mapped topic, and puts it into the group: readings, an online state, or entries
 * for the quarantine.
 *
 * @returns whether its content was taken, at least in part; what was not is in the quarantine
 */
export function receive(rules: ReceptionRules, group: Group, delivery: Delivery): boolean {
  const { topic, payload } = delivery;
  if (topic.kind === 'condition')
    return refuse(group, delivery, 'topic-not-allowed', 'conditions are published by driftline alone');
  if (topic.kind === 'mapped' && rules.translator !== null)
    return receiveMapped(rules.translator, rules.clocks, group, delivery, payload);
  if (topic.kind !== 'readings' && topic.kind !== 'online') {
    const expected = 'expected <root>/<site>/<station>, or that with /online';
    return refuse(group, delivery, 'unknown-topic', `topic ${quoted(topic.name)}: ${expected}`);
  }
  if (topic.site !== rules.site)
    return refuse(group, delivery, 'unknown-site', `site ${quoted(topic.site)}: the plant file has "${rules.site}"`);
  if (!rules.stations.has(topic.station))
    return refuse(group, delivery, 'unknown-station', `station ${quoted(topic.station)} is not in the plant file`);
  return topic.kind === 'online' ? receiveOnline(group, delivery) : receiveReadings(rules, group, delivery, payload);
}

function receiveReadings(rules: ReceptionRules, group: Group, delivery: Delivery, payload: Buffer): boolean {
  const { station } = delivery.topic;
  const decoded = rules.decode(payload, station, group.receivedAt);
  if (!decoded.ok) return refuse(group, delivery, decoded.reason, decoded.detail);
  return takeReadings(rules.clocks, group, delivery, station, decoded);
}

/** @returns true: whatever we make of it, the message of another's topic goes on to its subscribers */
function receiveMapped(
  translator: Translator,
  clocks: SiteClocks,
  group: Group,
  delivery: Delivery,
  payload: Buffer,
): true {
  const { parts, refusals, online, keep } = translator.translate(delivery.topic.name, payload, group.receivedAt);
  for (const { reason, detail } of refusals) refuse(group, delivery, reason, detail);
  for (const { station, decoded, stored } of parts)
    if (stored) takeStored(clocks, group, delivery, decoded);
    else takeReadings(clocks, group, delivery, station, decoded);
  for (const state of online) group.online.push({ ...state, at: group.receivedAt });
  if (keep.length > 0) group.retained = [...(group.retained ?? []), ...keep.map(keptBirth)];
  return true;
}

type Readings = Extract<Decoded, { ok: true }>;

function takeReadings(
  clocks: SiteClocks,
  group: Group,
  delivery: Delivery,
  station: string,
  decoded: Readings,
): boolean {
  const { pack, refusals, ahead, early, fromNow } = decoded;
  const impossible = early ?? ahead?.pack ?? null;
  // What came with times since 1970 is of the same clock.
  const rest = fromNow ? moved(pack, group.receivedAt) : pack;
  const taken = impossible === null ? null : takeImpossible(clocks, group, station, impossible, rest);
  for (const { reason, detail } of refusals) {
    if (reason === AHEAD && ahead !== null) keepApart(taken, group, delivery, reason, ahead.pack, detail);
    else if (reason === EARLY && early !== undefined) keepApart(taken, group, delivery, reason, early, detail);
    else refuse(group, delivery, reason, detail);
  }
  countOutOfRange(group, station, decoded);
  if (taken?.packs.length) return true;
  if (pack.times.length === 0) return refusals.length === 0;
  const { receivedAt } = group;
  keepJudged(group, pack, clocks.judge(pack, receivedAt, fromNow));
  return true;
}

/**
 * Readings whose sender says that they were kept and come later: they teach nothing of the clock. Those whose times cannot be true are kept where
 * what is known of it makes them right, and lie in the quarantine otherwise.
 */
function takeStored(clocks: SiteClocks, group: Group, delivery: Delivery, decoded: Readings): void {
  const { pack, refusals, ahead, early } = decoded;
  for (const { reason, detail } of refusals) {
    const apart = reason === AHEAD ? ahead?.pack : reason === EARLY ? early : undefined;
    const corrected = apart === undefined ? null : clocks.judgeStored(apart, group.receivedAt);
    if (apart === undefined) refuse(group, delivery, reason, detail);
    else if (corrected === null) keepApart(null, group, delivery, reason, apart, detail);
    else keepJudged(group, apart, corrected);
  }
  countOutOfRange(group, pack.station, decoded);
  if (pack.times.length > 0) keepJudged(group, pack, clocks.judgeStored(pack, group.receivedAt));
}

/** The analyzer reads these counters: a sensor out of its range shows in no reading. */
function countOutOfRange(group: Group, station: string, { outOfRange }: Readings): void {
  for (const [subject, count] of outOfRange ?? []) group.count(`range ${station} ${subject}`, count);
}

function keepJudged(group: Group, pack: Pack, judged: Corrected | null): void {
  if (judged === null) keep(group, pack);
  else {
    keepCorrected(group, judged);
    reportCorrected(group, judged);
  }
}

/** What was found of a clock that shows times which may be true. */
export function reportCorrected(group: Group, { offsetMs, corrections }: Corrected): void {
  if (offsetMs === 0) return;
  const count = corrections.reduce((sum, { readings }) => sum + readings, 0);
  const newest = corrections.reduce((latest, one) => Math.max(latest, one.to), 0);
  const { station } = corrections[0]!;
  group.clockReports.push({ station, receivedAt: group.receivedAt, claimedTime: newest + offsetMs, count });
}

/** Readings whose times cannot be true, and what came with them: taken with corrected times where the clock is known. */
function takeImpossible(clocks: SiteClocks, group: Group, station: string, impossible: Pack, rest: Pack): Corrected {
  const { receivedAt } = group;
  const count = impossible.times.length;
  group.clockReports.push({ station, receivedAt, claimedTime: impossible.times[0]!, count });
  const corrected = clocks.judgeImpossible(impossible, rest, receivedAt);
  keepCorrected(group, corrected);
  return corrected;
}

/** Puts what a clock's judgement has made of packs into the group. */
export function keepCorrected(group: Group, { packs, corrections, waits, settles }: Corrected): void {
  for (const pack of packs) keep(group, pack);
  group.corrections ??= [];
  group.corrections.push(...corrections);
  if (settles !== undefined) {
    group.settles ??= [];
    group.settles.push(...settles);
    // They were counted when they came.
    const again = packs.slice(0, settles.length);
    for (const { times } of again) group.readings -= times.length;
  }
  if (waits === undefined) return;
  group.waits ??= [];
  group.waits.push(waits);
  group.readings += waits.pack.times.length;
}

function keep(group: Group, pack: Pack): void {
  group.packs.push(pack);
  group.readings += pack.times.length;
}

function receiveOnline(group: Group, delivery: Delivery): boolean {
  const { topic, payload } = delivery;
  const text = payload.length <= 5 ? payload.toString('latin1') : '';
  if (text !== 'true' && text !== 'false')
    return refuse(group, delivery, 'not-an-online-state', 'the payload of /online is neither true nor false');
  group.online.push({ station: topic.station, online: text === 'true', at: group.receivedAt });
  return true;
}

/**
 * Readings whose times cannot be true are not thrown away: all of them go into the quarantine, in pieces that it keeps whole,
 * until their station's clock is known. From then on they are readings, and how they were corrected is kept beside them.
 */
function keepApart(
  taken: Corrected | null,
  group: Group,
  { topic }: Delivery,
  reason: Reason,
  pack: Pack,
  detail: string,
): void {
  if (taken?.wasKnown) return;
  for (const piece of senmlPieces(pack, PAYLOAD_BYTES)) {
    const payload = Buffer.from(piece);
    group.refusals.push({ receivedAt: group.receivedAt, topic: topic.name, reason, detail, payload });
  }
}

/** Puts a message, or what a part of it was refused for, among the group's entries for the quarantine. */
export function refuse(group: Group, { topic, payload }: Delivery, reason: Reason, detail: string): false {
  group.refusals.push({ receivedAt: group.receivedAt, topic: topic.name, reason, detail, payload });
  return false;
}
