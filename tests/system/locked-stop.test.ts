import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { connectAsync } from 'mqtt';
import { afterAll, expect, test } from 'vitest';
import { runProgram, startProgram, tempFolder } from './program.ts';

const folder = tempFolder('locked-stop');
afterAll(() => folder.remove());

test('a service whose store another program keeps locked ends when it is told to, with everything acknowledged on disk', async () => {
  const plant = join(folder.path, 'plant.yaml');
  writeFileSync(plant, 'site: { id: hall-2, timezone: Europe/Vienna }\nguns: [{ id: gun-01 }]\n');
  const data = join(folder.path, 'data');
  const service = await startProgram('serve', '--plant', plant, '--data', data);
  const node = await connectAsync(service.mqttUrl, { reconnectPeriod: 0 });
  const send = (v: number): Promise<unknown> =>
    node.publishAsync('airlines/hall-2/gun-01', JSON.stringify([{ n: 'conveying/flow', v }]), { qos: 1 });
  await send(2);
  const other = new Database(join(data, 'driftline.db'));
  other.exec('BEGIN IMMEDIATE');
  const unanswered = send(3).catch(() => undefined);
  await service.stop();
  expect(service.stderr()).toContain('the service did not stop within');
  expect(service.stderr()).not.toContain('FATAL ERROR');
  other.exec('ROLLBACK');
  other.close();
  await node.endAsync(true);
  await unanswered;
  expect((await runProgram('verify', '--data', data)).stdout).toMatch(/^gun-01: 1 frame, 1 reading, .*, 0 conflicts/m);
}, 60_000);
