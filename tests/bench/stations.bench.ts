import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { putLoad } from './load.ts';
import { startDriftline } from './started.ts';
import { type Part, whole } from './table.ts';

const STATIONS = 2000;
const SECONDS = 20;

/** Many stations, one pack a second each: how long the acknowledgement takes. */
export const stationsPart: Part = {
  name: 'stations',
  run: async ({ quick }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    const service = await startDriftline(dir, STATIONS, 'data');
    try {
      const messages = STATIONS * (quick ? 3 : SECONDS);
      const startMs = Date.UTC(2025, 10, 25, 8);
      const before = service.cpuSeconds();
      const load = { connections: STATIONS, guns: STATIONS, window: 20, messages, rate: STATIONS, startMs };
      const { perSecond, p50, p99 } = await putLoad({ port: service.port, ...load });
      const cores = ((service.cpuSeconds() - before) / messages) * perSecond;
      const name = `${STATIONS} stations, 1 pack/s each`;
      return [
        { what: `${name}: acknowledgement p99, ms`, measured: p99.toFixed(1), aim: '< 250' },
        { what: `${name}: acknowledgement p50, ms`, measured: p50.toFixed(1) },
        { what: `${name}: acknowledged/s`, measured: whole(perSecond), byProcessor: `${cores.toFixed(2)} cores` },
        { what: `${name}: memory, MB`, measured: whole(service.peakMb()), aim: '< 600' },
      ];
    } finally {
      await service.stop();
      rmSync(dir, { recursive: true });
    }
  },
};
