import { expect, test } from 'vitest';
import { OperationConfig } from '../../../collector/config.ts';
import { warmIntake } from '../../../collector/intake/warm-intake.ts';
import { warmWriter } from '../../../collector/store/warm-writer.ts';

const limits = OperationConfig.parse({}).broker;
const now = (): number => Date.UTC(2026, 2, 2, 9);

test('packs of the warm-up go the whole way and are acknowledged', async () => {
  expect(await warmIntake({ limits, now, clock: () => 0 })).toBe(9_024);
});

test('a weak machine, or limits that let none in, hold a start up no longer than it may take', async () => {
  let clock = 0;
  expect(await warmIntake({ limits, now, clock: () => (clock += 50) })).toBeLessThan(1_000);
  let ticks = 0;
  expect(await warmIntake({ limits: { ...limits, maxPacketBytes: 16 }, now, clock: () => (ticks += 50) })).toBe(0);
});

test('commits of the warm-up become chunks, as many as there is time for', () => {
  expect(warmWriter(() => 0)).toBe(60 * 20 * 4);
  let clock = 0;
  expect(warmWriter(() => (clock += 50))).toBeLessThan(60 * 20 * 4);
});
