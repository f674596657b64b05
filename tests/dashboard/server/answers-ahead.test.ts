import { afterEach, expect, test, vi } from 'vitest';
import { AnswersAhead } from '../../../dashboard/server/answers-ahead.ts';

afterEach(() => vi.useRealTimers());

/** Counts how often it was asked, from 1. */
function counted(): () => Promise<number> {
  let made = 0;
  return async () => ++made;
}

test('an answer that was begun is handed out once, to who asks first', async () => {
  const ahead = new AnswersAhead<number>();
  const make = counted();
  ahead.begin('a', make);
  expect(await ahead.take('a', make)).toBe(1);
  expect(await ahead.take('a', make)).toBe(2);
  expect(await ahead.take('b', make)).toBe(3);
});

test('what is begun again is of the later question, so that it knows what changed meanwhile', async () => {
  const ahead = new AnswersAhead<number>();
  const make = counted();
  ahead.begin('a', make);
  ahead.begin('a', make);
  expect(await ahead.take('a', make)).toBe(2);
});

test('an answer that nobody fetches is forgotten after eight seconds', async () => {
  vi.useFakeTimers();
  const ahead = new AnswersAhead<number>();
  const make = counted();
  ahead.begin('a', make);
  vi.advanceTimersByTime(7999);
  ahead.begin('b', make);
  vi.advanceTimersByTime(1);
  expect(await ahead.take('a', make)).toBe(3);
  expect(await ahead.take('b', make)).toBe(2);
});

test('four are kept, the oldest goes', async () => {
  const ahead = new AnswersAhead<number>();
  const make = counted();
  for (const key of ['a', 'b', 'c', 'd', 'e']) ahead.begin(key, make);
  expect(await ahead.take('a', make)).toBe(6);
  expect(await ahead.take('b', make)).toBe(2);
});

test('a fault is told to who asks, and to nobody else', async () => {
  const ahead = new AnswersAhead<number>();
  ahead.begin('a', () => Promise.reject(new Error('damaged')));
  ahead.begin('b', () => Promise.reject(new Error('damaged')));
  await new Promise((resolve) => setImmediate(resolve));
  await expect(ahead.take('a', async () => 1)).rejects.toThrow('damaged');
});
