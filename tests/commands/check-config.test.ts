import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
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
    `${settings}: overrides.0.gun: found gun-10, which the plant does not have: this override changes nothing`,
    'no fault found',
    '',
  ]);
  expect(status).toBe(0);
});

test('no file at all is nothing to check', async () => {
  await expect(remarks(addCheckConfig, 'check-config')).rejects.toThrow('found no file to check');
});
