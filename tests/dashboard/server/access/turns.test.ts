import { expect, test } from 'vitest';
import { Turns } from '../../../../dashboard/server/access/turns.ts';

/** Work whose end is in the test's hand. */
function works() {
  const ends: (() => void)[] = [];
  let running = 0;
  let most = 0;
  return {
    get most() {
      return most;
    },
    get started() {
      return ends.length;
    },
    endNext: () => ends.shift()?.(),
    work: async () => {
      running += 1;
      most = Math.max(most, running);
      await new Promise<void>((resolve) => ends.push(resolve));
      running -= 1;
      return 'done';
    },
  };
}

const settle = () => new Promise((resolve) => setImmediate(resolve));

test('two run at once, the rest in the order asked', async () => {
  const turns = new Turns({ atOnce: 2, waiting: 10, each: 9 });
  const made = works();
  const all = [1, 2, 3, 4, 5].map(() => turns.take('a', made.work));
  for (let left = 5; left > 0; left -= 1) {
    await settle();
    expect(made.started).toBe(Math.min(2, left));
    made.endNext();
  }
  expect(await Promise.all(all)).toEqual(['done', 'done', 'done', 'done', 'done']);
  expect(made.most).toBe(2);
});

test('one asker cannot take all the places, and too many wait for nobody', async () => {
  const turns = new Turns({ atOnce: 1, waiting: 2, each: 2 });
  const made = works();
  const first = turns.take('a', made.work);
  const second = turns.take('a', made.work);
  await expect(turns.take('a', made.work)).rejects.toMatchObject({ code: 'TOO_MANY' });
  const third = turns.take('b', made.work);
  await expect(turns.take('c', made.work)).rejects.toMatchObject({ code: 'TOO_MANY' });
  for (let count = 0; count < 3; count += 1) {
    await settle();
    made.endNext();
  }
  await Promise.all([first, second, third]);
  const again = turns.take('a', made.work);
  await settle();
  made.endNext();
  expect(await again).toBe('done');
});

test('work that fails gives its place back', async () => {
  const turns = new Turns({ atOnce: 1, waiting: 1, each: 1 });
  const fail = () => Promise.reject(new Error('no'));
  await expect(turns.take('a', fail)).rejects.toThrow('no');
  await expect(turns.take('a', fail)).rejects.toThrow('no');
});
