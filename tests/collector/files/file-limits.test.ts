import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { fileLimits } from '../../../collector/files/file-limits.ts';
import { parsePlant } from '../../../collector/files/plant.ts';
import { readUnpacked } from '../../../collector/files/unpacked.ts';
import { resolveConfig } from '../../../collector/read-config.ts';
import { tempDir } from '../store/temp-dir.ts';

afterEach(() => {
  vi.unstubAllEnvs();
});

/** A plant whose guns name one channel list so many times. */
const plant = (uses: number): string =>
  [
    'site: { id: hall-1, timezone: Europe/Vienna }',
    'guns:',
    '  - { id: first, channels: &fitted { trigger: {} } }',
    ...Array.from({ length: uses }, (_, index) => `  - { id: gun-${index}, channels: *fitted }`),
  ].join('\n');

describe('limits of files', () => {
  it('are those that the environment has, else the usual ones', () => {
    expect(fileLimits({})).toEqual({ maxYamlAliases: 200, maxGzipGrowth: 200 });
    expect(fileLimits({ DRIFTLINE_MAX_YAML_ALIASES: '7', DRIFTLINE_MAX_GZIP_GROWTH: '' })).toEqual({
      maxYamlAliases: 7,
      maxGzipGrowth: 200,
    });
  });

  it.each(['0', '-1', '2.5', 'many'])('that are no whole number above 0 are refused: %s', (text) => {
    expect(() => fileLimits({ DRIFTLINE_MAX_GZIP_GROWTH: text })).toThrow(
      `DRIFTLINE_MAX_GZIP_GROWTH: found "${text}", expected a whole number from 1 on`,
    );
  });

  it('are no keys of the configuration', () => {
    const environment = { DRIFTLINE_MAX_YAML_ALIASES: '7', DRIFTLINE_MAX_GZIP_GROWTH: '9' };
    expect(resolveConfig({}, { environment, flags: {} })).toEqual(resolveConfig({}, { environment: {}, flags: {} }));
  });

  it('let a YAML file use an alias so often and not once more', () => {
    vi.stubEnv('DRIFTLINE_MAX_YAML_ALIASES', '5');
    expect(parsePlant(plant(4)).guns).toHaveLength(5);
    expect(() => parsePlant(plant(6))).toThrow('an alias that is unknown or used too often');
    vi.stubEnv('DRIFTLINE_MAX_YAML_ALIASES', '300');
    expect(parsePlant(plant(250)).guns).toHaveLength(251);
  });

  it('let a gzip file grow so many times and no more', async () => {
    const file = join(tempDir(), 'zeros.gz');
    writeFileSync(file, gzipSync(Buffer.alloc(70_000_000)));
    let bytes = 0;
    const read = (): Promise<void> => readUnpacked(file, 'READINGS_UNUSABLE', (chunk) => (bytes += chunk.length));
    await expect(read()).rejects.toThrow('data that grows more than 200 times');
    expect(bytes).toBeLessThan(68_000_000);
    vi.stubEnv('DRIFTLINE_MAX_GZIP_GROWTH', '1100');
    bytes = 0;
    await read();
    expect(bytes).toBe(70_000_000);
  });
});
