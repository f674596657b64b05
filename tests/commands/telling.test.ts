import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { addTelling } from '../../commands/telling.ts';
import { recordPlant } from '../../dashboard/service/plant-record.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { printed } from './printed.ts';

const TOLD = `telling:
  mail: { host: mail.example, from: hall@example.org, to: [lead@example.org] }
  webhooks: [{ name: andon, url: "https://hooks.example/a", secret: "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw" }]
`;

function folder(config: string): { data: string; file: string } {
  const data = tempDir();
  const store = openStore(data, { create: true });
  recordPlant(store, Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] }));
  store.close();
  const file = join(tempDir(), 'config.yaml');
  writeFileSync(file, config);
  return { data, file };
}

test('a test message waits in the outbox for the service, and is listed without addresses', async () => {
  const { data, file } = folder(TOLD);
  expect(await printed(addTelling, 'telling', 'test', '--data', data, '--config', file)).toBe('mail\nwebhook:andon\n');
  const rows = (await printed(addTelling, 'telling', 'list', '--data', data, '--config', file))
    .trimEnd()
    .split(/\r?\n/);
  expect(rows[0]).toBe('createdAt,target,kind,state,attempts,nextAt,fault');
  expect(rows.slice(1).map((row) => row.split(',').slice(1, 5).join())).toEqual([
    'webhook:andon,test,waiting,0',
    'mail,test,waiting,0',
  ]);
  expect(rows.join('\n')).not.toContain('example');
});

test('where nobody is told anything, that is said', async () => {
  const { data, file } = folder('http: { port: 8080 }\n');
  await expect(printed(addTelling, 'telling', 'test', '--data', data, '--config', file)).rejects.toThrow(
    /neither mail nor webhooks/,
  );
  expect((await printed(addTelling, 'telling', 'list', '--data', data)).trimEnd().split(/\r?\n/)).toHaveLength(1);
});

test('no webhook is called mail: what goes to one would count as told to the other', async () => {
  const { data, file } = folder(TOLD.replace('andon', 'mail'));
  await expect(printed(addTelling, 'telling', 'test', '--data', data, '--config', file)).rejects.toThrow(
    /other than "mail"/,
  );
});
