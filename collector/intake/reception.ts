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

const AHEAD = 'ahead-of-clock';

export interface ReceptionRules {
  readonly site: string;
  /** Ids of guns and air points. */
  readonly stations: ReadonlySet<string>;
  readonly decode: Decode;
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
    return receiveMapped(rules.translator, group, delivery, payload);
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
  return takeReadings(group, delivery, station, decoded);
}

/** @returns true: whatever we make of it, the message of another's topic goes on to its subscribers */
function receiveMapped(translator: Translator, group: Group, delivery: Delivery, payload: Buffer): true {
  const { parts, refusals, online, keep } = translator.translate(delivery.topic.name, payload, group.receivedAt);
  for (const { reason, detail } of refusals) refuse(group, delivery, reason, detail);
  for (const { station, decoded } of parts) takeReadings(group, delivery, station, decoded);
  for (const state of online) group.online.push({ ...state, at: group.receivedAt });
  if (keep.length > 0) group.retained = [...(group.retained ?? []), ...keep.map(keptBirth)];
  return true;
}

type Readings = Extract<Decoded, { ok: true }>;

function takeReadings(group: Group, delivery: Delivery, station: string, decoded: Readings): boolean {
  const { pack, refusals, ahead } = decoded;
  for (const { reason, detail } of refusals) {
    if (reason === AHEAD && ahead !== null) keepApart(group, delivery, ahead.pack, detail);
    else refuse(group, delivery, reason, detail);
  }
  if (ahead !== null) {
    const { claimedTime, count } = ahead;
    group.clockReports.push({ station, receivedAt: group.receivedAt, claimedTime, count });
  }
  // The analyzer reads these counters: a sensor out of its range shows in no reading.
  for (const [subject, count] of decoded.outOfRange ?? []) group.count(`range ${station} ${subject}`, count);
  if (pack.times.length === 0) return refusals.length === 0;
  group.packs.push(pack);
  group.readings += pack.times.length;
  return true;
}

function receiveOnline(group: Group, delivery: Delivery): boolean {
  const { topic, payload } = delivery;
  const text = payload.length <= 5 ? payload.toString('latin1') : '';
  if (text !== 'true' && text !== 'false')
    return refuse(group, delivery, 'not-an-online-state', 'the payload of /online is neither true nor false');
  group.online.push({ station: topic.station, online: text === 'true', at: group.receivedAt });
  return true;
}

/** Readings ahead of the clock are not thrown away: all of them go into the quarantine, in pieces that it keeps whole. */
function keepApart(group: Group, { topic }: Delivery, pack: Pack, detail: string): void {
  for (const piece of senmlPieces(pack, PAYLOAD_BYTES)) {
    const payload = Buffer.from(piece);
    group.refusals.push({ receivedAt: group.receivedAt, topic: topic.name, reason: AHEAD, detail, payload });
  }
}

/** Puts a message, or what a part of it was refused for, among the group's entries for the quarantine. */
export function refuse(group: Group, { topic, payload }: Delivery, reason: Reason, detail: string): false {
  group.refusals.push({ receivedAt: group.receivedAt, topic: topic.name, reason, detail, payload });
  return false;
}
