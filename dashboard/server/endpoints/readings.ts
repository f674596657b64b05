import { z } from 'zod';
import { CHANNEL_NAMES } from '../../../collector/contract/index.ts';
import { ageSeconds } from '../age.ts';
import { endpoint, ok } from '../endpoint.ts';

const Value = z.strictObject({
  time: z.iso.datetime(),
  value: z.union([z.number(), z.boolean(), z.string()]).meta({ description: 'Canonical unit of the channel' }),
});

const Latest = z
  .strictObject({
    station: z.string(),
    time: z.iso.datetime().nullable().meta({ description: 'Newest reading time; null before the first reading' }),
    receivedAt: z.iso.datetime().nullable(),
    ageSeconds: z.number().nullable(),
    intervalSeconds: z.number().nullable().meta({ description: 'Interval at which the station reports at present' }),
    online: z.boolean().nullable().meta({ description: 'What the station itself says; null when it never said' }),
    values: z.partialRecord(z.enum(CHANNEL_NAMES), Value),
  })
  .meta({ id: 'LatestReadings' });

const seconds = (ms: number | null): number | null => (ms === null ? null : ms / 1000);
const iso = (ms: number): string => new Date(ms).toISOString();

export const latestReadings = endpoint({
  method: 'get',
  path: '/api/readings/latest',
  summary: 'Newest reading of every gun and plant-air point',
  role: 'wall',
  success: { 200: 'Newest readings' },
  answer: z.array(Latest),
  problems: [],
  handle({ sources, clock }) {
    const now = clock.now();
    const stations = [...sources.plant.guns, ...sources.plant.air].map(({ id }) => id);
    return ok(
      stations.map((station) => {
        const latest = sources.latest(station);
        const online = sources.online(station);
        if (!latest)
          return { station, time: null, receivedAt: null, ageSeconds: null, intervalSeconds: null, online, values: {} };
        const values = Object.fromEntries(
          Object.entries(latest.values).map(([channel, { time, value }]) => [channel, { time: iso(time), value }]),
        );
        return {
          station,
          time: iso(latest.time),
          receivedAt: iso(latest.receivedAt),
          ageSeconds: ageSeconds(latest.time, now),
          intervalSeconds: seconds(latest.intervalMs),
          online,
          values,
        };
      }),
    );
  },
});
