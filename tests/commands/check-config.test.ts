import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { startWriter } from '../../collector/index.ts';
import { addCheckConfig } from '../../commands/check-config.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { remarks } from './remarks.ts';

test('an override of a gun that the plant does not have is told, and is no fault', async () => {
  const dir = tempDir();
  const [plant, settings] = [join(dir, 'plant.yaml'), join(dir, 'settings.yaml')];
  writeFileSync(plant, 'site: { id: hall-2, timezone: UTC }\nguns: [{ id: gun-01 }]\n');
  writeFileSync(settings, 'overrides: [{ gun: gun-10, smallestChange: 0.1 }]\n');
  const { text, status } = await remarks(addCheckConfig, 'check-config', '--plant', plant, '--settings', settings);
  expect(text.split('\n')).toEqual([
    `${settings}: overrides[0].gun: found gun-10, which the plant does not have: this override changes nothing`,
    'no fault found',
    '',
  ]);
  expect(status).toBe(0);
});

test('no file at all is nothing to check', async () => {
  await expect(remarks(addCheckConfig, 'check-config')).rejects.toThrow('found no file to check');
});

test('a powder that the plant file does not name is told of, and looked up where the data folder is named', async () => {
  const dir = tempDir();
  const [plant, settings, data] = [join(dir, 'plant.yaml'), join(dir, 'settings.yaml'), join(dir, 'data')];
  writeFileSync(plant, 'site: { id: hall-2, timezone: UTC }\nguns: [{ id: gun-01 }]\npowders: [{ id: p-1 }]\n');
  writeFileSync(settings, 'overrides: [{ powder: p-1, smallestChange: 0.1 }, { powder: p-9, smallestChange: 0.1 }]\n');
  const words = ['check-config', '--plant', plant, '--settings', settings];
  expect((await remarks(addCheckConfig, ...words)).text.split('\n')).toEqual([
    `${settings}: overrides of p-9: not named in the plant file; --data tells whether anybody sprayed it`,
    'no fault found',
    '',
  ]);
  await (await startWriter(data)).stop();
  expect((await remarks(addCheckConfig, ...words, '--data', data)).text.split('\n')).toEqual([
    `${settings}: overrides[1].powder: found p-9, which the plant file does not name and nobody has sprayed yet: this override changes nothing`,
    'no fault found',
    '',
  ]);
});
