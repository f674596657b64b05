import { expect, test } from 'vitest';
import { isSameChange } from '../../../collector/contract/index.ts';
import { openStore } from '../../../collector/index.ts';
import { tempDir } from './temp-dir.ts';

const HOUR = 3_600_000;
const anna = { at: 1000, who: 'Anna' };

test('a baseline that is learnt anew is kept with who and why, outlives the process, and is undone once', () => {
  const dir = tempDir();
  const store = openStore(dir, { create: true });
  const kept = store.baselines.relearn({ gun: 'gun-01', from: 500, decided: 900, reason: 'another pump' }, anna);
  expect(kept).toMatchObject({ gun: 'gun-01', from: 500, decided: 900, undone: null, who: 'Anna' });
  store.close();

  const again = openStore(dir);
  expect(again.baselines.relearnings()).toEqual([kept]);
  expect(again.baselines.undoRelearning(kept.id, 1200, { at: 2000, who: 'Ben' })).toBe(true);
  expect(again.baselines.undoRelearning(kept.id, 1300, { at: 3000, who: 'Ben' })).toBe(false);
  expect(again.baselines.relearnings()).toEqual([{ ...kept, undone: 1200, undoneAt: 2000, undoneBy: 'Ben' }]);
  expect(again.baselines.words().relearnings).toEqual([{ gun: 'gun-01', from: 500, decided: 900, undone: 1200 }]);
  again.close();
});

test('a dismissal holds until it is undone, and stays on record', () => {
  const store = openStore(tempDir(), { create: true });
  const change = { gun: 'gun-01', part: 'pump-insert', time: 50 * HOUR };
  const kept = store.baselines.dismiss({ ...change, reason: 'other powder' }, anna);
  expect(store.baselines.words().dismissals).toEqual([change]);
  expect(store.baselines.undoDismissal(kept.id, anna)).toBe(true);
  expect(store.baselines.words().dismissals).toEqual([]);
  expect(store.baselines.dismissals({ undone: true })).toMatchObject([{ reason: 'other powder', undoneBy: 'Anna' }]);
  store.close();
});

test('a dismissal is about changes of its part within twelve hours', () => {
  const said = { gun: 'gun-01', part: 'pump-insert', time: 50 * HOUR };
  expect(isSameChange(said, { ...said, time: 62 * HOUR })).toBe(true);
  expect(isSameChange(said, { ...said, time: 62 * HOUR + 1 })).toBe(false);
  expect(isSameChange(said, { ...said, part: 'pump-seals' })).toBe(false);
  expect(isSameChange(said, { ...said, gun: 'gun-02' })).toBe(false);
});
