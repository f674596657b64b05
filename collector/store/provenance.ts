import { CHANNELS, type Channel } from '../contract/channels.ts';
import { type Section, WIDE } from './batch.ts';
import type { Sql } from './sql.ts';
import type { Provenance } from './store.ts';

/** Sensors that sent a channel, by channel and name: times of their first and last reading. */
type Sensors = Map<string, { channel: number; sensor: string; first: number; last: number }>;

function addSection(sensors: Sensors, section: Section): void {
  // Of a pack's channels each is taken to span the pack: what matters is which sensor it was, and about when.
  for (const channel of channelsOf(section)) {
    const key = `${channel} ${section.provenance}`;
    const known = sensors.get(key);
    if (known) {
      known.first = Math.min(known.first, section.minTime);
      known.last = Math.max(known.last, section.maxTime);
    } else sensors.set(key, { channel, sensor: section.provenance, first: section.minTime, last: section.maxTime });
  }
}

function channelsOf(section: Section): number[] {
  let bits = 0;
  for (let at = 0; at < section.body.byteLength; ) {
    const count = section.body.getUint16(at + 8, true);
    at += 10;
    for (let i = 0; i < count; i++) {
      const tag = section.body.getUint8(at);
      bits |= 1 << (tag & ~WIDE);
      at += tag & WIDE ? 9 : 5;
    }
  }
  return CHANNELS.flatMap((_, channel) => ((bits & (1 << channel)) === 0 ? [] : [channel]));
}

/** Keeps which sensors sent what in these sections. Packs that name no sensor leave nothing. */
export function saveProvenance(sql: Sql, station: number, sections: readonly Section[]): void {
  const sensors: Sensors = new Map();
  for (const section of sections) if (section.provenance !== '') addSection(sensors, section);
  for (const { channel, sensor, first, last } of sensors.values())
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
  const sensors: Sensors = new Map();
  const rows = sql.all<{ channel: number; sensor: string; first: number; last: number }>(
    `SELECT channel, sensor, provenance.first_ms AS first, provenance.last_ms AS last
     FROM provenance JOIN station ON station.id = provenance.station WHERE station.name = ?`,
    name,
  );
  for (const row of rows) sensors.set(`${row.channel} ${row.sensor}`, row);
  for (const section of tail) if (section.provenance !== '') addSection(sensors, section);
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
