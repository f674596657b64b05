import { expect, test } from 'vitest';
import { AnswerMemory } from '../../../dashboard/server/answer-memory.ts';

test('two requests under one key at the same time act once', async () => {
  const memory = new AnswerMemory();
  let acts = 0;
  const act = async (): Promise<number> => {
    acts += 1;
    return acts;
  };
  const [first, second] = await Promise.all([memory.once('k', 'a', act), memory.once('k', 'a', act)]);
  expect([first, second]).toEqual([
    { answer: 1, repeated: false },
    { answer: 1, repeated: true },
  ]);
});

test('what failed may be tried again under its key', async () => {
  const memory = new AnswerMemory();
  await expect(memory.once('k', 'a', () => Promise.reject(new Error('no')))).rejects.toThrow('no');
  expect(await memory.once('k', 'a', async () => 'yes')).toEqual({ answer: 'yes', repeated: false });
});

test('a key with another request is refused', async () => {
  const memory = new AnswerMemory();
  await memory.once('k', 'a', async () => 1);
  await expect(memory.once('k', 'b', async () => 2)).rejects.toMatchObject({ code: 'KEY_REUSED' });
});

test('the newest five thousand keys are kept and the oldest go', async () => {
  const memory = new AnswerMemory();
  for (let count = 0; count < 5001; count += 1) await memory.once(String(count), 'a', async () => count);
  expect((await memory.once('1', 'a', async () => -1)).repeated).toBe(true);
  expect((await memory.once('0', 'a', async () => -1)).repeated).toBe(false);
});
