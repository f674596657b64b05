import { expect, test } from 'vitest';
import { StopSteps } from '../../../dashboard/service/stop-steps.ts';

test('the last part ends first, each once the one before has ended', async () => {
  const told: string[] = [];
  const stops = new StopSteps();
  for (const part of ['first', 'second', 'third'])
    stops.add(async () => {
      told.push(`${part} ends`);
      await new Promise(setImmediate);
      told.push(`${part} ended`);
    });
  await stops.run();
  expect(told).toEqual(['third ends', 'third ended', 'second ends', 'second ended', 'first ends', 'first ended']);
});

test('parts that fail keep no other from ending, and the fault that came first is told', async () => {
  const ended: string[] = [];
  const stops = new StopSteps();
  stops.add(async () => void ended.push('store'));
  stops.add(() => {
    throw new Error('the collector fails before it begins to end');
  });
  stops.add(async () => void ended.push('analysis'));
  stops.add(() => Promise.reject(new Error('the server would not end')));
  await expect(stops.run()).rejects.toThrow('the server would not end');
  expect(ended).toEqual(['analysis', 'store']);
});

test('run twice, also while it runs, ends every part once and tells both the same', async () => {
  let ends = 0;
  const stops = new StopSteps();
  stops.add(async () => {
    ends += 1;
    await new Promise(setImmediate);
    throw new Error('the store would not close');
  });
  const both = await Promise.allSettled([stops.run(), stops.run()]);
  expect(both.map(({ status }) => status)).toEqual(['rejected', 'rejected']);
  await expect(stops.run()).rejects.toThrow('the store would not close');
  expect(ends).toBe(1);
});

test('a service without parts stops', async () => {
  await expect(new StopSteps().run()).resolves.toBeUndefined();
});
