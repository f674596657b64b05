import { describe, expect, it } from 'vitest';
import { resetQuantity } from '../../../analyzer/baseline/gaussian-state.ts';
import { countOutput, newUsualOutput } from '../../../analyzer/baseline/usual-output.ts';
import { judgeWear, wearState } from '../../../analyzer/diagnose/judge-wear.ts';
import { BORROWED_HOURS, LASTING_HOURS, UNREAD_HOURS } from '../../../analyzer/diagnose/tell-wear.ts';
import { START, stepBench } from './step-bench.ts';

/** A gun whose insert was logged as new; each look follows some spray hours later at a loss (ln of output) that is well known. */
function wearingGun(output: 'measured' | 'setpoint' | 'coupled') {
  const { look, memory, book } = stepBench();
  const usual = newUsualOutput();
  countOutput(usual, Math.log(150), 10);
  Object.assign(memory, { step: null, runs: 500, powderRuns: { 'p-1': 500 }, usualOutput: usual });
  memory.insert = { since: START - 1, logged: true, atHours: 0, kilograms: 180, clock: 2 };
  const judge = (hours: number, loss: number, ripple = 0) => {
    const bench = look(hours, 0, ripple, 1e-3);
    const gun = bench.pool.guns['gun-01']!;
    resetQuantity(bench.pool.gaussian, gun.wear, loss, 0.01 ** 2);
    judgeWear({ ...bench, gun: { ...bench.gun, output } });
    return bench;
  };
  return { judge, memory, book };
}

describe('a worn insert', () => {
  it('is judged at the usual output of its gun, whatever was last sprayed of the powder in use', () => {
    const { judge, memory } = wearingGun('measured');
    const ofPowder = newUsualOutput();
    countOutput(ofPowder, Math.log(240), 1);
    countOutput(memory.usualOutput, Math.log(240), 1);
    memory.usual['p-1'] = ofPowder;
    // Contract section 6: the median of the gun's last 40 spray hours; half a bin is what a histogram leaves open.
    expect(Math.abs(wearState(judge(1, 0.1))!.output - Math.log(150))).toBeLessThan(0.015);
  });

  it('is told at once where the output is measured', () => {
    const { judge, book } = wearingGun('measured');
    judge(1, 0.3);
    expect(book.open.map(({ cause }) => cause)).toEqual(['pump-insert']);
  });

  it('has to be due for a while where it is not', () => {
    const { judge, book } = wearingGun('setpoint');
    for (let hours = 0; hours < LASTING_HOURS; hours += 0.5) {
      judge(0.5, 0.3);
      expect(book.open).toEqual([]);
    }
    judge(0.5, 0.3);
    expect(book.open.map(({ cause }) => cause)).toEqual(['pump-insert']);
    expect(book.due).toEqual({});
  });

  it('is not told before recipes that are not read have averaged out', () => {
    const { judge, book, memory } = wearingGun('coupled');
    memory.insert.atHours = memory.sprayHours;
    for (let hours = 4; hours < UNREAD_HOURS; hours += 4) {
      judge(4, 0.3);
      expect(book.open).toEqual([]);
    }
    for (let hours = 0; hours < 8; hours += 2) judge(2, 0.3);
    expect(book.open.map(({ cause }) => cause)).toEqual(['pump-insert']);
  });

  it('is told by what went through it where nobody knows its start, though recipes have not averaged out', () => {
    const { judge, book, memory } = wearingGun('coupled');
    // At a usual rate (0.067 of ln output for each 100 kg) four tenths of what is lost at a usual limit.
    memory.insert = { since: null, logged: false, atHours: 0, kilograms: 200, clock: 2 };
    judge(BORROWED_HOURS - memory.sprayHours - 0.5, 0.2);
    expect(book.open).toEqual([]);
    judge(1, 0.2);
    expect(memory.sprayHours).toBeLessThan(UNREAD_HOURS);
    expect(book.open.map(({ cause }) => cause)).toEqual(['pump-insert']);
  });

  it('begins anew when it was not due in between', () => {
    const { judge, book } = wearingGun('setpoint');
    judge(1, 0.3);
    judge(1, 0.02);
    judge(1, 0.3);
    judge(1, 0.3);
    expect(book.open).toEqual([]);
    judge(1, 0.3);
    expect(book.open).toHaveLength(1);
  });
});

it('a finding on the insert before ends with the proof that the new one cured, whatever that has worn meanwhile', () => {
  const { judge, memory, book } = wearingGun('measured');
  const { pool, now } = judge(1, 0.3);
  const mean = [...pool.gaussian.mean];
  pool.guns['gun-01']!.proof = {
    ...{ mean, lost: 0.3, lostSd: 0.04, pace: { mean: 0, variance: 1e-4 }, gain: 0.28, hours: 0.5 },
  };
  memory.insert = { since: now + 1, logged: true, atHours: memory.sprayHours, kilograms: 0, clock: 0 };
  judge(1, 0.13);
  expect(book.open).toHaveLength(1);
  pool.guns['gun-01']!.proof!.hours = 3;
  judge(1, 0.13);
  expect(book.open).toEqual([]);
  expect(book.closed[0]).toMatchObject({ cause: 'pump-insert' });
});

describe('a slow loss that was told as a leak', () => {
  it('is one of the insert once ripple is back and the loss is not, as after new seals', () => {
    const { judge, book } = wearingGun('measured');
    for (const ripple of [0.9, 0.9]) judge(1, 0.3, ripple);
    expect([book.open.map(({ cause }) => cause), book.closed]).toEqual([['pump-seals'], []]);
    judge(1, 0.3, 0);
    expect(book.closed.map(({ cause }) => cause)).toEqual(['pump-seals']);
    expect(book.closed[0]!.evidence[0]).toContain('the evidence speaks for the pump insert now');
    expect(book.open.map(({ cause }) => cause)).toEqual(['pump-insert']);
  });

  it('keeps its name while ripple is on its way back', () => {
    const { judge, book } = wearingGun('measured');
    for (const ripple of [0.9, 0.3]) judge(1, 0.3, ripple);
    expect([book.open.map(({ cause }) => cause), book.closed]).toEqual([['pump-seals'], []]);
  });
});
