import { spawnSync } from 'node:child_process';
import { appendFileSync, mkdtempSync, rmSync, statfsSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { OperationConfig } from '../../collector/config.ts';
import { Plant } from '../../collector/contract/index.ts';
import { type Collector, startCollector } from '../../collector/index.ts';

// A disk of 4 MiB of its own: only root may mount one, so elsewhere the test is left out and says so.
const disk = mkdtempSync(join(tmpdir(), 'driftline-disk-'));
const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=4m', 'driftline-test', disk]).status === 0;
if (!mounted) console.warn('left out: the full disk needs the right to mount a small tmpfs');

const lines: string[] = [];
let collector: Collector;
let client: mqtt.MqttClient;
const say = (fields: object, message: string): void => void lines.push(`${message} ${JSON.stringify(fields)}`);
const START_S = 1_764_057_600;

beforeAll(async () => {
  if (!mounted) return;
  collector = await startCollector({
    plant: Plant.parse({ site: { id: 'hall-2', timezone: 'UTC' }, guns: [{ id: 'gun-01' }] }),
    dir: join(disk, 'data'),
    config: OperationConfig.parse({ broker: { port: 0 } }),
    now: Date.now,
    clock: () => performance.now(),
    log: { info: say, warn: say, error: say },
  });
  client = await mqtt.connectAsync(`mqtt://127.0.0.1:${collector.port}`, { protocolVersion: 4 });
});
afterAll(async () => {
  if (mounted) {
    await client.endAsync(true);
    await collector.stop();
    spawnSync('umount', [disk]);
  }
  rmSync(disk, { recursive: true });
});

/** Incompressible readings, so that the disk fills. */
const pack = (sequence: number): string =>
  JSON.stringify(
    Array.from({ length: 500 }, (_, row) => ({
      n: 'conveying/pressure',
      t: START_S + 500 * sequence + row,
      v: ((sequence * 7919 + row * 104_729) % 15_000) / 1000,
    })),
  );

/** Other files take what is left but a little; the store makes room for its log meanwhile. */
function fill(file: string): void {
  const PIECE_BYTES = 65_536;
  const free = (): number => {
    const { bavail, bsize } = statfsSync(disk);
    return bavail * bsize;
  };
  try {
    while (free() > 2 * PIECE_BYTES) appendFileSync(file, Buffer.alloc(PIECE_BYTES, 1));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
  }
}

test.skipIf(!mounted)(
  'a full disk ends acknowledgements, is said plainly, and is over when there is room',
  async () => {
    const room = join(disk, 'other-files');
    let acknowledged = 0;
    const send = (sequence: number): Promise<void> =>
      client.publishAsync('airlines/hall-2/gun-01', pack(sequence), { qos: 1 }).then(() => void acknowledged++);
    await send(0);
    fill(room);
    const sent: Promise<void>[] = [];
    while (collector.counts().storing) {
      sent.push(send(sent.length + 1));
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    const before = acknowledged;
    expect(before).toBeLessThan(sent.length + 1);
    expect(lines.filter((line) => line.includes('nothing is acknowledged'))).toHaveLength(1);
    expect(lines.join()).toContain('"code":"DISK_FULL"');
    rmSync(room);
    await Promise.all(sent);
    expect(lines.filter((line) => line.startsWith('readings are stored again'))).toHaveLength(1);
    const { times } = collector.store.readings.frames('gun-01', 0, Number.MAX_SAFE_INTEGER);
    expect(times).toHaveLength(500 * (sent.length + 1));
  },
);
