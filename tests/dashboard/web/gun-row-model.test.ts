import { expect, test } from 'vitest';
import type { WallGun } from '../../../dashboard/server/wall-model.ts';
import { gunRowModel, isSilent } from '../../../dashboard/web/wall/gun-row-model.ts';

const gun: WallGun = {
  id: 'gun-01',
  name: 'Booth 1 left',
  state: 'good',
  causes: [],
  learning: null,
  wearLeft: 0.62,
  remaining: null,
  actualAir: 3.4,
  neededAir: 3,
  excessAir: null,
  changeLimit: 0.2,
  usualOutput: 180,
  powder: null,
  newest: 100_000,
  lostAfterMs: 10_000,
  online: true,
  reading: { spraying: true, flow: 3.3, pressure: 1.9, output: 180 },
};

test('fresh data shows wear, air and its age', () => {
  expect(gunRowModel(gun, 104_200)).toEqual({
    mark: 'good',
    markIsCurrent: true,
    figures: { kind: 'values', wearLeft: 0.62, actualAir: 3.4, neededAir: 3 },
    age: '4\u202fs',
  });
});

test('data is lost past its limit, not on it', () => {
  expect(isSilent(gun, 110_000)).toBe(false);
  expect(isSilent(gun, 110_001)).toBe(true);
});

test('a silent gun shows since when instead of old figures, and no state', () => {
  expect(gunRowModel(gun, 200_000)).toEqual({
    mark: 'unknown',
    markIsCurrent: false,
    figures: { kind: 'silent', sinceMs: 100_000 },
    age: null,
  });
});

test('a silent gun that needed someone keeps its mark, as the last known', () => {
  expect(gunRowModel({ ...gun, state: 'failure' }, 200_000)).toMatchObject({ mark: 'failure', markIsCurrent: false });
});

test('a gun that was never read says so', () => {
  expect(gunRowModel({ ...gun, state: null, newest: null }, 200_000)).toMatchObject({
    mark: 'unknown',
    figures: { kind: 'never' },
    age: null,
  });
});

test('a gun that is learnt shows how far', () => {
  const learning = { signal: 'conveying air', have: 12, need: 60 };
  const model = gunRowModel({ ...gun, state: 'learning', learning, wearLeft: null }, 101_000);
  expect(model).toMatchObject({ mark: 'learning', figures: { kind: 'learning', have: 12, need: 60 }, age: '1\u202fs' });
});

test('what is known of a gun that still learns another signal is shown', () => {
  const learning = { signal: 'ripple', have: 12, need: 60 };
  expect(gunRowModel({ ...gun, state: 'learning', learning }, 101_000).figures.kind).toBe('values');
});
