import { describe, expect, it } from 'vitest';
import { noteFurther } from '../../../analyzer/diagnose/further-leak.ts';
import { judgeStep } from '../../../analyzer/diagnose/judge-step.ts';
import { START, stepBench } from './step-bench.ts';

const HOUR = 3_600_000;

/** A gun whose seals leak since the start, and on which ripple rose once more after another spray hour. */
function twoLeaks(rise: number, loss: number) {
  const gun = stepBench();
  judgeStep(gun.look(0.5, 0.07, 0.8));
  judgeStep(gun.look(0.6, 0.07, 0.8));
  const first = gun.book.open[0]!;
  const { step, sprayHours } = gun.memory;
  const onset = START + (sprayHours - 20) * 4 * HOUR;
  noteFurther(step!, first, { ripple: 0.8, loss: 0.07, onset, atHours: sprayHours });
  judgeStep(gun.look(0.5, loss, rise));
  return { ...gun, first, second: gun.book.open.find((finding) => finding !== first), onset };
}

describe('ripple that rises once more while seals leak', () => {
  it('is a leak of its own, with both seals among its candidates', () => {
    const { second, onset } = twoLeaks(1.5, 0.15);
    expect(second).toMatchObject({ gun: 'gun-01', onset, category: 'maintenance-required' });
    expect(second!.candidates.map(({ cause }) => cause).sort()).toEqual(['gun-seals', 'pump-seals']);
  });

  it('leaves what the first was thought to be as it was', () => {
    const before = twoLeaks(0.8, 0.07).first.candidates.map(({ cause }) => cause);
    expect(twoLeaks(1.7, 0.25).first.candidates.map(({ cause }) => cause)).toEqual(before);
  });

  it('is none where ripple rose by less than its swing', () => {
    expect(twoLeaks(1, 0.08).second).toBeUndefined();
  });

  it('ends when ripple falls by what it had added, and the first stays', () => {
    const { look, book, first, second } = twoLeaks(1.7, 0.25);
    for (let block = 0; block < 4; block++) judgeStep(look(0.2, 0.08, 0.8));
    expect(book.closed).toEqual([second]);
    expect(book.open).toEqual([first]);
  });

  it('becomes the only one when what was changed was the first', () => {
    const { look, book, first, second, memory } = twoLeaks(1.7, 0.25);
    second!.cause = first.cause === 'pump-seals' ? 'gun-seals' : 'pump-seals';
    const last = look(0.1, 0.25, 1.7);
    memory.step!.tried.push({ time: last.now, part: first.cause, atHours: memory.sprayHours });
    for (let block = 0; block < 4; block++) judgeStep(look(0.2, 0.18, 0.9));
    expect(book.closed).toEqual([first]);
    expect(book.open).toEqual([second]);
    expect(second!.subject).toBe('step');
  });

  it('is over with the first when nothing is left of both', () => {
    const { look, book } = twoLeaks(1.7, 0.25);
    for (let block = 0; block < 8; block++) judgeStep(look(0.2, 0, 0));
    expect(book.open).toEqual([]);
    expect(book.closed).toHaveLength(2);
  });
});
