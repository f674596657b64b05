import { renameSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { Tls } from '../../../collector/access/access-config.ts';
import { runsOut, useCertificate } from '../../../collector/access/certificate-watch.ts';
import { silentLog } from '../../../collector/log.ts';
import { certificate } from '../../faults/guarded-service.ts';
import { tempDir } from '../store/temp-dir.ts';

const DAY = 86_400_000;
const NAMED = Tls.parse({});

describe('a certificate', () => {
  test.each([
    [30.01 * DAY, null],
    [30 * DAY, 'runs out in 30 days'],
    [1.5 * DAY, 'runs out in 1 day:'],
    [0.5 * DAY, 'runs out today or tomorrow'],
    [0, 'has run out'],
  ])('that holds for %i ms more is spoken of a month before', (left, says) => {
    if (says === null) expect(runsOut(left, 0)).toBeNull();
    else expect(runsOut(left, 0)).toContain(says);
  });
});

describe('the certificate in use', () => {
  const told: string[] = [];
  const log = { ...silentLog, warn: (_: object, sentence: string) => void told.push(sentence) };

  beforeEach(() => {
    told.length = 0;
    vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  test('is told of at once and daily when it runs out, until another is read', async () => {
    const dir = tempDir();
    // Holds for two days.
    const files = certificate(dir, 'hall');
    const inUse = await useCertificate({ ...NAMED, ...files }, Date.now, log);
    vi.advanceTimersByTime(3 * DAY);
    expect(told).toHaveLength(4);
    expect(told[0]).toMatch(/^the certificate runs out in 1 day: /);

    renameSync(files.key, `${files.key}.away`);
    await expect(inUse.renew()).rejects.toMatchObject({ code: 'CONFIG_INVALID' });
    vi.advanceTimersByTime(DAY);
    expect(told).toHaveLength(5);

    const renewed = certificate(dir, 'renewed', 400);
    renameSync(renewed.key, files.key);
    renameSync(renewed.certificate, files.certificate);
    expect((await inUse.renew())!.validTo).toBeGreaterThan(Date.now() + 399 * DAY);
    vi.advanceTimersByTime(3 * DAY);
    expect(told).toHaveLength(5);
    inUse.stop();
    expect(vi.getTimerCount()).toBe(0);
  });

  test('that the configuration does not name is not looked for', async () => {
    const inUse = await useCertificate(NAMED, Date.now, log);
    expect(inUse.first).toBeNull();
    vi.advanceTimersByTime(3 * DAY);
    expect(await inUse.renew()).toBeNull();
    inUse.stop();
    expect(told).toEqual([]);
  });
});
