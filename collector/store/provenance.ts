import { CHANNELS, type Channel } from '../contract/channels.ts';
import type { Section } from './batch.ts';
import type { Sql } from './sql.ts';
import type { Provenance } from './store.ts';

interface Span {
  first: number;
  last: number;
}

/** By name of a sensor and channels as bits: when packs of it came. Of a pack's channels each is taken to span the pack. */
type Packs = Map<string, Map<number, Span>>;

function packsOf(sections: readonly Section[]): Packs {
  const packs: Packs = new Map();
  for (const { provenance, channels, minTime, maxTime } of sections) {
    // Packs that name no sensor leave nothing.
    if (provenance === '') continue;
    let spans = packs.get(provenance);
    if (!spans) {
      spans = new Map();
      packs.set(provenance, spans);
    }
    const span = spans.get(channels);
    if (!span) spans.set(channels, { first: minTime, last: maxTime });
    else {
      if (minTime < span.first) span.first = minTime;
      if (maxTime > span.last) span.last = maxTime;
    }
  }
  return packs;
}

interface Sensor extends Span {
  readonly channel: number;
  readonly sensor: string;
}

/** One for each sensor and channel. */
function sensorsOf(sections: readonly Section[]): Sensor[] {
  const sensors = new Map<string, Sensor>();
  for (const [sensor, spans] of packsOf(sections))
    for (const [channels, { first, last }] of spans)
      for (let channel = 0; channel < CHANNELS.length; channel++)
        if ((channels & (1 << channel)) !== 0) widen(sensors, { channel, sensor, first, last });
  return [...sensors.values()];
}

function widen(sensors: Map<string, Sensor>, more: Sensor): void {
  const key = `${more.channel} ${more.sensor}`;
  const known = sensors.get(key);
  if (!known) sensors.set(key, { ...more });
  else {
    known.first = Math.min(known.first, more.first);
    known.last = Math.max(known.last, more.last);
  }
}

/** Keeps which sensors sent what in these sections. */
export function saveProvenance(sql: Sql, station: number, sections: readonly Section[]): void {
  for (const { channel, sensor, first, last } of sensorsOf(sections))
    sql.run(
      `INSERT INTO provenance (station, channel, sensor, first_ms, last_ms) VALUES (?, ?, ?, ?, ?)
       ON CONFLICT DO UPDATE SET first_ms = min(first_ms, excluded.first_ms), last_ms = max(last_ms, excluded.last_ms)`,
      station,
      channel,
      sensor,
      first,
      last,
    );
}

/** Sensors of a station, of chunks and tail together, by channel, then by first reading. */
export function provenanceOf(sql: Sql, name: string, tail: readonly Section[]): Provenance[] {
  const sensors = new Map<string, Sensor>();
  const rows = sql.all<Sensor>(
    `SELECT channel, sensor, provenance.first_ms AS first, provenance.last_ms AS last
     FROM provenance JOIN station ON station.id = provenance.station WHERE station.name = ?`,
    name,
  );
  for (const sensor of [...rows, ...sensorsOf(tail)]) widen(sensors, sensor);
  return [...sensors.values()]
    .sort(
      (left, right) =>
        left.channel - right.channel || left.first - right.first || (left.sensor < right.sensor ? -1 : 1),
    )
    .map(({ channel, sensor, first, last }) => ({
      station: name,
      channel: CHANNELS[channel]?.name as Channel,
      sensor,
      firstTime: first,
      lastTime: last,
    }));
}
