import { parseTopic } from './broker/topics.ts';
import type { OperationConfig } from './config.ts';
import type { Pack } from './contract/frames.ts';
import { CHANNELS, formatTime, Plant } from './contract/index.ts';
import type { Decoded } from './decode/decoded.ts';
import { ConfiguredTranslator } from './decode/mapped/translator.ts';
import { senmlDecoder } from './decode/senml.ts';

/** A reading as the store would keep it. */
export interface TriedReading {
  readonly station: string;
  readonly channel: string;
  /** ISO 8601, UTC. */
  readonly time: string;
  readonly value: number | boolean | string;
  /** Canonical unit; '-' for states and names. */
  readonly unit: string;
  readonly sensor: string;
}

/** A reading whose (channel, time) had one before it in the message: the store keeps the first. */
export interface RepeatedReading extends TriedReading {
  readonly kept: TriedReading['value'];
}

/** What a captured message becomes. */
export interface Tried {
  /** contract: its own topics need no mapping; mapped: the configuration takes it; none: nobody does. */
  readonly taken: 'contract' | 'mapped' | 'none';
  readonly readings: readonly TriedReading[];
  readonly repeats: readonly RepeatedReading[];
  readonly refusals: readonly { readonly reason: string; readonly detail: string }[];
  readonly online: readonly { readonly station: string; readonly online: boolean }[];
  /** Edge nodes that would be asked for their births. */
  readonly rebirths: readonly string[];
}

export interface TryOptions {
  readonly config: Pick<OperationConfig, 'broker' | 'mappings' | 'sparkplug'>;
  /** null: every station that the configuration names is taken to be there, without reference states or ranges. */
  readonly plant: Plant | null;
  /** Messages one after the other, as an edge node's birth and data. */
  readonly messages: readonly { readonly topic: string; readonly payload: Buffer }[];
  /** As if received then, epoch ms. */
  readonly receivedAt: number;
}

/** Tells what messages become, with the code that takes them in; nothing is stored. The result is of the last one. */
export function tryMapping({ config, plant, messages, receivedAt }: TryOptions): Tried {
  const known = plant ?? plantFor(config);
  const rebirths = new Set<string>();
  const translator = new ConfiguredTranslator(
    known,
    config,
    ({ group, node }) => void rebirths.add(`${group}/${node}`),
  );
  let tried: Tried = { taken: 'none', readings: [], repeats: [], refusals: [], online: [], rebirths: [] };
  for (const { topic: name, payload } of messages) {
    const topic = parseTopic(config.broker.root, name, (one) => translator.claims(one));
    rebirths.clear();
    if (topic.kind === 'readings') tried = ofStation(senmlDecoder(known)(payload, topic.station, receivedAt));
    else if (topic.kind === 'mapped') {
      const { parts, refusals, online } = translator.translate(name, payload, receivedAt);
      const decoded = parts.map((part) => part.decoded);
      tried = {
        taken: 'mapped',
        ...firstOfEach(decoded.flatMap(({ pack }) => readingsOf(pack))),
        refusals: [...refusals, ...decoded.flatMap((one) => one.refusals)],
        online,
        rebirths: [...rebirths],
      };
    } else tried = { taken: 'none', readings: [], repeats: [], refusals: [], online: [], rebirths: [] };
  }
  return tried;
}

function ofStation(decoded: Decoded): Tried {
  const nothing = { online: [], rebirths: [], taken: 'contract' } as const;
  if (!decoded.ok) return { ...nothing, readings: [], repeats: [], refusals: [decoded] };
  return { ...nothing, ...firstOfEach(readingsOf(decoded.pack)), refusals: decoded.refusals };
}

/** A reading is known by station, channel and time: the first one stays, as in the store. */
function firstOfEach(all: readonly TriedReading[]): Pick<Tried, 'readings' | 'repeats'> {
  const first = new Map<string, TriedReading>();
  const repeats: RepeatedReading[] = [];
  for (const reading of all) {
    const key = `${reading.station} ${reading.channel} ${reading.time}`;
    const before = first.get(key);
    if (before === undefined) first.set(key, reading);
    else repeats.push({ ...reading, kept: before.value });
  }
  return { readings: [...first.values()], repeats };
}

function readingsOf({ station, times, channels, values, strings, provenance }: Pack): TriedReading[] {
  return times.map((time, index) => {
    const { name, kind, canonical } = CHANNELS[channels[index]!]!;
    const number = values[index]!;
    const value = kind === 'string' ? strings[number]! : kind === 'boolean' ? number !== 0 : number;
    return { station, channel: name, time: formatTime(time), value, unit: canonical, sensor: provenance.trim() };
  });
}

/** A plant with the stations that the configuration names. */
function plantFor({ mappings, sparkplug }: TryOptions['config']): Plant {
  const ids = [...mappings, ...sparkplug.sources].flatMap(({ station }) =>
    typeof station === 'string' ? [station] : Object.values(station.names ?? {}),
  );
  const guns = [...new Set(ids)].map((id) => ({ id }));
  return Plant.parse({ site: { id: 'site', timezone: 'UTC' }, guns: guns.length > 0 ? guns : [{ id: 'gun-01' }] });
}
