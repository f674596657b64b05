import { expect, test } from 'vitest';
import { lifeStatistics, type PartLife } from '../../../analyzer/index.ts';
import type { LifeDesk } from '../../../dashboard/shop/life-desk.ts';
import { narrowestLives } from '../../../dashboard/upkeep/narrowest-lives.ts';

/** Ended lives of an insert about a middle, all of one gun and powder family. */
const lives = (count: number, middle: number, gun: string, family: string): PartLife[] =>
  Array.from({ length: count }, (_, index) => ({
    ...{ gun, part: 'pump-insert' as const, from: index, to: index + 1, end: 'worn' as const },
    ...{ sprayHours: middle * (0.8 + (0.4 * index) / Math.max(1, count - 1)), kilograms: null, family },
  }));
const desk = (all: readonly PartLife[]): LifeDesk =>
  ({
    lives: () => ({ lives: all, left: { 'no start': 0, 'no readings': 0, 'not used': 0 } }),
    statisticsOf: (some: readonly PartLife[]) =>
      lifeStatistics(some.map(({ sprayHours }) => ({ time: sprayHours, failed: true }))),
  }) as unknown as LifeDesk;

test('the gun’s own lives are used where they are enough, else its powder family’s, else all', () => {
  const all = [
    ...lives(12, 30, 'gun-01', 'textured'),
    ...lives(3, 60, 'gun-02', 'smooth'),
    ...lives(12, 60, 'gun-03', 'smooth'),
  ];
  const of = narrowestLives(desk(all));
  expect(of('gun-01', 'pump-insert')?.of).toBe('gun');
  expect(of('gun-02', 'pump-insert')?.of).toBe('family');
  expect(of('gun-04', 'pump-insert')?.of).toBe('all');
  const scale = (gun: string): number => of(gun, 'pump-insert')!.fit.scale;
  expect(scale('gun-01')).toBeLessThan(scale('gun-04'));
  expect(scale('gun-02')).toBeGreaterThan(scale('gun-04'));
});

test('lives with mixed powders or none named are no family, and too few lives say nothing', () => {
  const mixed = [...lives(3, 60, 'gun-02', 'mixed'), ...lives(12, 60, 'gun-03', 'mixed')];
  expect(narrowestLives(desk(mixed))('gun-02', 'pump-insert')?.of).toBe('all');
  expect(narrowestLives(desk(lives(2, 60, 'gun-02', 'smooth')))('gun-02', 'pump-insert')).toBeNull();
});
