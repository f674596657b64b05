import type { JSONPathQuery } from 'json-p3';
import { quoted } from '../../contract/index.ts';
import { PACK_LIMITS, type PackLimits } from '../decoded.ts';
import { readJson } from '../json-payload.ts';
import { compilePath, nodesAt, valuesAt } from './json-path.ts';
import { readMappedTime } from './mapped-time.ts';
import { readMappedValue } from './mapped-value.ts';
import type { Mapping } from './mapping-config.ts';
import { matchesFilter } from './topic-filter.ts';
import { provenanceOf, type Translation } from './translated.ts';

const TOO_MUCH = 'a path of the mapping would have to look at too much';

interface CompiledMapping {
  readonly mapping: Mapping;
  readonly records: JSONPathQuery;
  readonly time: JSONPathQuery | null;
  readonly station: JSONPathQuery | null;
  readonly channels: readonly { readonly fields: Mapping['channels'][number]; readonly path: JSONPathQuery }[];
}

/** One record of a message, with what is around it. */
interface Place {
  readonly topic: string;
  readonly message: unknown;
  readonly record: unknown;
  readonly receivedAt: number;
}

/** JSON payloads of any shape as readings, as the configuration maps them. Every mapping whose topic fits is applied. */
export class MappedJson {
  readonly #mappings: readonly CompiledMapping[];
  readonly #limits: PackLimits;

  constructor(mappings: readonly Mapping[], limits: PackLimits = PACK_LIMITS) {
    this.#limits = limits;
    this.#mappings = mappings.map((mapping) => ({
      mapping,
      records: compilePath(mapping.records),
      time: mapping.time.path === undefined ? null : compilePath(mapping.time.path),
      station:
        typeof mapping.station === 'object' && 'path' in mapping.station ? compilePath(mapping.station.path) : null,
      channels: mapping.channels.map((fields) => ({ fields, path: compilePath(fields.path) })),
    }));
  }

  claims(topic: string): boolean {
    return this.#mappings.some(({ mapping }) => matchesFilter(mapping.topic, topic));
  }

  read(topic: string, payload: Buffer, receivedAt: number, into: Translation): void {
    if (payload.length > this.#limits.bytes) {
      into.refuse('too-large', `found ${payload.length} bytes, expected at most ${this.#limits.bytes}`);
      return;
    }
    const json = readJson(payload, this.#limits, 'JSON');
    if (!json.ok) {
      into.refuse(json.reason, json.detail);
      return;
    }
    let found = 0;
    for (const one of this.#mappings) {
      if (!matchesFilter(one.mapping.topic, topic)) continue;
      const records = nodesAt(one.records, json.value);
      if (records === null) into.refuse('too-large', TOO_MUCH);
      for (const record of records ?? []) {
        found += this.#readRecord(one, { topic, message: json.value, record, receivedAt }, into);
        if (into.count > this.#limits.records) break;
      }
    }
    if (found === 0) into.refuse('nothing-mapped', `found none of the mapped values in ${quoted(json.value)}`);
  }

  /** @returns values found, usable or not */
  #readRecord(one: CompiledMapping, place: Place, into: Translation): number {
    const lists = one.channels.map(({ path }) => valuesAt(path, place.record));
    if (lists.includes(null)) {
      into.refuse('too-large', TOO_MUCH);
      return 1;
    }
    const found = lists.reduce((sum, values) => sum + values!.length, 0);
    const station = found === 0 ? null : stationOf(one, place, into);
    if (station === null) return found;
    const times = timesOf(one, place, into);
    if (times === null) return found;
    const provenance = provenanceOf(place.topic);
    for (const [index, { fields }] of one.channels.entries()) {
      const values = lists[index]!;
      const instants = spread(times, values.length, one.mapping.time);
      if (instants === null) {
        into.refuse('ragged', `${fields.channel}: found ${values.length} values for ${times.length} times`);
        continue;
      }
      for (const [row, value] of values.entries()) {
        // Null says that there is no value now: no reading, and no fault.
        if (value !== null)
          into.add(
            station,
            { name: provenance + fields.channel, unit: fields.unit, ms: instants[row]! },
            readMappedValue(value, fields),
          );
      }
    }
    return found;
  }
}

/** The station that a record is of; null after a refusal. */
function stationOf({ mapping, station: path }: CompiledMapping, place: Place, into: Translation): string | null {
  const { station } = mapping;
  if (typeof station === 'string') return station;
  const found =
    'level' in station
      ? place.topic.split('/')[station.level - 1]
      : nodesAt(path!, station.in === 'message' ? place.message : place.record)?.[0];
  const name = typeof found === 'number' ? String(found) : found;
  if (typeof name !== 'string') {
    into.refuse('unknown-station', `found ${quoted(found)} where the station’s name is mapped, expected text`);
    return null;
  }
  const id = station.names === undefined ? name : Object.hasOwn(station.names, name) ? station.names[name]! : null;
  if (id !== null) return id;
  into.refuse('unknown-station', `found ${quoted(name)}, expected one of the mapping’s names`);
  return null;
}

/** The record's times, epoch ms; null after a refusal. */
function timesOf({ mapping, time: path }: CompiledMapping, place: Place, into: Translation): number[] | null {
  if (path === null) return [place.receivedAt];
  const values = valuesAt(path, mapping.time.in === 'message' ? place.message : place.record);
  if (values === null || values.length === 0) {
    into.refuse('no-time', `found nothing at ${mapping.time.path}, expected a time`);
    return null;
  }
  const times: number[] = [];
  for (const value of values) {
    const time = readMappedTime(value, mapping.time, place.receivedAt);
    if ('reason' in time) {
      into.refuse(time.reason, time.detail);
      return null;
    }
    times.push(time.ms);
  }
  return times;
}

/** A time for each of `count` values; null where it cannot be told which time belongs to which. */
function spread(
  times: readonly number[],
  count: number,
  { everyMs, of, path }: Mapping['time'],
): readonly number[] | null {
  if (count === 0 || times.length === count) return times;
  if (times.length !== 1 || everyMs === undefined) return null;
  // What is received now was read until now.
  const before = of === 'last' || path === undefined ? count - 1 : 0;
  return Array.from({ length: count }, (_, index) => times[0]! + Math.round((index - before) * everyMs));
}
