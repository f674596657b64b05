import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import { type Started, startMosquitto } from '../../bench/started.ts';
import { EXCHANGES } from './exchanges.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';

const MOSQUITTO = '/usr/sbin/mosquitto';

describe('what clients get to see', () => {
  test.each(EXCHANGES)('$name', async ({ run, expected }) => {
    const sink = new GatedSink();
    sink.open = true;
    const broker: Broker = await gatedBroker(sink);
    try {
      expect(await run(broker.port)).toEqual(expected);
    } finally {
      await broker.stop();
    }
  });
});

// Another broker on the same scripts: where both agree, neither the script nor our reading of the standard is odd.
describe.skipIf(!existsSync(MOSQUITTO))('Mosquitto shows the same (skipped where it is not installed)', () => {
  let dir = '';
  beforeAll(() => {
    dir = mkdtempSync(join(tmpdir(), 'driftline-oracle-'));
  });
  afterAll(() => rmSync(dir, { recursive: true }));

  test.each(EXCHANGES.filter(({ otherwise }) => otherwise === undefined))('$name', async ({ run, expected }) => {
    const broker: Started = (await startMosquitto(dir))!;
    try {
      expect(await run(broker.port)).toEqual(expected);
    } finally {
      await broker.stop();
    }
  });
});
