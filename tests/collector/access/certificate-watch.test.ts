import { renameSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { Tls } from '../../../collector/access/access-config.ts';
import { troubleOf, useCertificate } from '../../../collector/access/certificate-watch.ts';
import { silentLog } from '../../../collector/log.ts';
import { certificate, certificateBetween } from '../../faults/guarded-service.ts';
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
    const sentence = troubleOf({ validFrom: -DAY, validTo: left }, 0);
    if (says === null) expect(sentence).toBeNull();
    else expect(sentence).toContain(says);
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

  test('may have run out, or not hold yet, when the service starts, which says so', async () => {
    const dir = tempDir();
    const files = certificate(dir, 'hall');
    const later = await useCertificate({ ...NAMED, ...files }, () => Date.now() + 3 * DAY, log);
    const earlier = await useCertificate({ ...NAMED, ...files }, () => Date.now() - 3 * DAY, log);
    expect(later.first).not.toBeNull();
    expect(told).toEqual([
      expect.stringMatching(/^the certificate has run out/),
      expect.stringMatching(/^the certificate holds from/),
    ]);
    for (const one of [later, earlier]) one.stop();
  });

  test('gives its place, while it holds, to none that has run out or does not hold yet', async () => {
    const dir = tempDir();
    const start = Date.now();
    const files = certificate(dir, 'long', 400);
    let now = start;
    const inUse = await useCertificate({ ...NAMED, ...files }, () => now, log);
    const place = (name: string, from: number, to: number): void => {
      const other = certificateBetween(dir, name, start + from, start + to);
      renameSync(other.key, files.key);
      renameSync(other.certificate, files.certificate);
    };
    place('expired', -9 * DAY, -DAY);
    await expect(inUse.renew()).rejects.toThrow('that expired on');
    place('early', 5 * DAY, 405 * DAY);
    await expect(inUse.renew()).rejects.toThrow('that holds from');
    // The one in use has run out: nothing is lost by one that does not hold either, and one that does is taken in any case.
    now = start + 500 * DAY;
    place('next', -9 * DAY, 450 * DAY);
    expect((await inUse.renew())!.validTo).toBe(Math.floor((start + 450 * DAY) / 1000) * 1000);
    place('last', -9 * DAY, 900 * DAY);
    expect((await inUse.renew())!.validTo).toBe(Math.floor((start + 900 * DAY) / 1000) * 1000);
    expect(told).toEqual([expect.stringMatching(/^the certificate has run out/)]);
    inUse.stop();
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
