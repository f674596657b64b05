import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Command } from 'commander';
import { expect, test } from 'vitest';
import { openStore } from '../../collector/index.ts';
import { auditCommands } from '../../commands/audited.ts';
import { addImport } from '../../commands/import.ts';
import { addLog } from '../../commands/log.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { remarks } from './remarks.ts';

test('work can be logged on a folder that only an import has used, and its guns are known', async () => {
  const dir = tempDir();
  const [plant, csv, data] = ['plant.yaml', 'readings.csv', 'data'].map((name) => join(dir, name)) as [
    string,
    string,
    string,
  ];
  writeFileSync(plant, 'site: { id: hall-2, timezone: Europe/Vienna }\nguns: [{ id: gun-01 }]\n');
  writeFileSync(csv, 'time,gun,conveying/pressure\n2026-03-02T06:00:00+01:00,gun-01,1.62\n');
  await remarks(addImport, 'import', '--data', data, '--plant', plant, csv);
  const work = ['--part', 'pump-insert', '--action', 'replaced', '--found', 'worn', '--time', '2026-03-02T05:00:00Z'];
  await remarks(addLog, 'log', 'add', '--data', data, '--gun', 'gun-01', ...work);
  const store = openStore(data);
  try {
    expect(store.log.list({}).map(({ gun, part }) => [gun, part])).toEqual([['gun-01', 'pump-insert']]);
  } finally {
    store.close();
  }
  await expect(remarks(addLog, 'log', 'add', '--data', data, '--gun', 'gun-09', ...work)).rejects.toThrow('gun-09');
}, 60_000);

test('an import is in the audit trail from its start on, also where it does not come to its end', async () => {
  const dir = tempDir();
  const [plant, csv, torn, data] = ['plant.yaml', 'a.csv', 'b.csv', 'data'].map((name) => join(dir, name)) as [
    string,
    string,
    string,
    string,
  ];
  writeFileSync(plant, 'site: { id: hall-2, timezone: Europe/Vienna }\nguns: [{ id: gun-01 }]\n');
  writeFileSync(csv, 'time,gun,conveying/pressure\n2026-03-02T06:00:00+01:00,gun-01,1.62\n');
  writeFileSync(torn, 'no readings at all\n');
  const add = (program: Command): void => {
    addImport(program);
    auditCommands(program);
  };
  const flags = ['--data', data, '--plant', plant];
  await expect(remarks(add, 'import', ...flags, csv, torn)).rejects.toThrow('b.csv');
  const store = openStore(data);
  const entries = (): string[] => store.audit.list().map(({ what }) => what);
  expect(entries()).toEqual(['driftline import begun']);
  expect(store.audit.list()[0]?.detail).toBe(JSON.stringify({ plant, arguments: [csv, torn] }));
  await remarks(add, 'import', ...flags, csv);
  expect(entries()).toEqual(['driftline import', 'driftline import begun', 'driftline import begun']);
  store.close();
}, 60_000);
