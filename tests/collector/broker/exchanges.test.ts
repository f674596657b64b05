import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import { type Started, startMosquitto } from '../../bench/started.ts';
import { EXCHANGES } from './exchanges.ts';
import { ENDS } from './exchanges-ends.ts';
import { RULES } from './exchanges-rules.ts';
import { SESSIONS } from './exchanges-sessions.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';

const MOSQUITTO = '/usr/sbin/mosquitto';
const ALL = [...EXCHANGES, ...SESSIONS, ...ENDS, ...RULES];

describe('what clients get to see', () => {
  test.each(ALL)('$name', async ({ run, expected }) => {
    const sink = new GatedSink();
    sink.open = true;
    const broker: Broker = await gatedBroker(sink, { maxPacketBytes: 65_536 });
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

  test.each(ALL.filter(({ otherwise }) => otherwise === undefined))('$name', async ({ run, expected }) => {
    const broker: Started = (await startMosquitto(dir))!;
    try {
      expect(await run(broker.port)).toEqual(expected);
    } finally {
      await broker.stop();
    }
  });
});
