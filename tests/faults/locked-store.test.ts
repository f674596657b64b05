import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { client, folder, guardedService } from './guarded-service.ts';

/** How soon every thread has given up on the lock: the analysis looks whether there is anything to write each 5 s, and waits for 10. */
const SOON_MS = 40_000;

const START_S = 1_764_057_600;
/** One minute of a gun that sprays, ten seconds apart. */
const pack = (minute: number): string =>
  JSON.stringify(
    Array.from({ length: 6 }, (_, row) => START_S + 60 * minute + 10 * row).flatMap((t) => [
      { n: 'conveying/pressure', t, v: 1.6 },
      { n: 'conveying/flow', t, v: 2.4 },
      { n: 'powder/output', t, v: 150 },
    ]),
  );

test('a store that another program keeps locked for long holds acknowledgements back, and all goes on by itself', async () => {
  const dir = folder();
  const { service, httpUrl, mqttUrl, lines, book } = await guardedService({}, dir);
  const node = await client(mqttUrl, {});
  let acknowledged = 0;
  const send = (minute: number): Promise<void> =>
    node.publishAsync('airlines/hall-2/gun-01', pack(minute), { qos: 1 }).then(() => void acknowledged++);
  let ended: unknown = null;
  service.ended.catch((error: unknown) => (ended = error));
  await send(0);

  const other = new Database(join(dir, 'driftline.db'));
  other.exec('BEGIN IMMEDIATE');
  const sent = [send(1), send(2)];
  const waits = ['readings cannot be stored', 'the analysis waits until no other program keeps the store locked'];
  const until = Date.now() + SOON_MS;
  while (Date.now() < until && !waits.every((one) => lines.join('\n').includes(one))) {
    expect((await fetch(`${httpUrl}/healthz`)).status).toBe(200);
    await pause(250);
  }
  expect(ended).toBeNull();
  expect(lines).toEqual(expect.arrayContaining(waits.map((one) => expect.stringContaining(one))));
  expect(acknowledged).toBe(1);
  expect((await fetch(`${httpUrl}/readyz`)).status).toBe(503);
  const refused = await fetch(`${httpUrl}/api/log`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', origin: httpUrl },
    body: JSON.stringify({ gun: 'gun-01', part: 'pump-insert', action: 'replaced' }),
  });
  expect(await refused.json()).toMatchObject({ status: 503, code: 'STORE_LOCKED' });
  other.exec('ROLLBACK');
  other.close();

  await Promise.all(sent);
  await expect.poll(() => lines.join('\n'), { timeout: 20_000 }).toContain('the analysis goes on');
  expect(lines.join('\n')).toContain('readings are stored again');
  expect(ended).toBeNull();
  expect(book.store.readings.counts('gun-01')).toMatchObject({ conflicts: {} });
}, 90_000);
