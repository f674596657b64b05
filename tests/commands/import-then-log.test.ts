import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openStore } from '../../collector/index.ts';
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
