import { describe, expect, it } from 'vitest';
import { NAMED_HOURS } from '../../../analyzer/diagnose/judge-step.ts';
import { sightOf } from '../../../analyzer/diagnose/sight.ts';
import type { Bench } from '../../../analyzer/diagnose/site-view.ts';
import { PartSight } from '../../../analyzer/sight.ts';
import { PART_IDS, type PartId } from '../../../collector/contract/index.ts';
import { stepBench } from './step-bench.ts';

const benchOf = (ripple: boolean, settings: object = {}): Bench => stepBench({}, settings, ripple).look(0, 0);
const of = (bench: Bench, part: PartId): PartSight => sightOf(bench).find((one) => one.part === part)!;

describe('what a gun’s sensors let be seen', () => {
  it('has one entry a part, in the order of the contract', () => {
    const sight = sightOf(benchOf(true));
    expect(sight.map(({ part }) => part)).toEqual([...PART_IDS]);
    for (const one of sight) expect(PartSight.parse(one)).toEqual(one);
  });

  // Source: handbook section 2, "nothing reliable".
  it.each(['nozzle', 'electrode-holder'] as const)('is nothing of a %s, whatever is fitted', (part) => {
    expect(of(benchOf(true), part)).toMatchObject({ seen: 'none', smallestChange: null, missing: [] });
  });

  it.each(['powder-hose', 'gun-tube'] as const)('names a %s only with its bench check', (part) => {
    expect(of(benchOf(true), part).seen).toBe('candidate');
  });

  it('sees nothing of an insert while the regulator stands at its stop', () => {
    const bench = benchOf(true);
    const gun = bench.pool.guns['gun-01']!;
    const asked = { powder: 'p-1', output: 5, air: 0.9, runs: 20, time: 0 };
    const stop = { ...gun.stop, last: asked, at: [asked], air: 0.9, odds: 9 };
    const held = { ...bench, pool: { ...bench.pool, guns: { 'gun-01': { ...gun, stop } } } };
    expect(of(held, 'pump-insert')).toMatchObject({ seen: 'none', why: expect.stringContaining('regulator’s stop') });
    const lower = { ...stop, last: { ...asked, air: 0.8 } };
    gun.stop = lower;
    expect(of(bench, 'pump-insert').seen).toBe('first');
  });

  it('tells a leak sooner with ripple fitted, and asks for ripple where it is not', () => {
    const pulsing = of(benchOf(true), 'pump-seals');
    const alone = of(benchOf(false), 'pump-seals');
    expect(pulsing.sprayHours!).toBeLessThan(alone.sprayHours!);
    expect(pulsing.missing).toEqual([]);
    expect(alone.missing).toEqual(['conveying/ripple']);
    expect(pulsing.sprayHours!).toBeLessThanOrEqual(1);
    expect(alone.sprayHours!).toBeLessThanOrEqual(5);
  });

  it('takes longer over a leak where a hand lies between, and tells those at the gun’s base only with their check', () => {
    const bench = benchOf(true);
    const set = of({ ...bench, gun: { ...bench.gun, output: 'setpoint' } }, 'pump-seals');
    expect(set.sprayHours! - of(bench, 'pump-seals').sprayHours!).toBeCloseTo(NAMED_HOURS, 1);
    expect(of(bench, 'gun-seals')).toMatchObject({ seen: 'candidate', why: expect.stringContaining('hose pull') });
  });

  it('names the channels that a line lacks', () => {
    expect(of(benchOf(true), 'fluidizing-ring')).toMatchObject({
      seen: 'none',
      missing: ['fluidizing/pressure', 'fluidizing/flow'],
    });
    expect(of(benchOf(true), 'inlet-filter').missing).toEqual(['supply/pressure']);
  });

  it('sees no wear where the output is computed from the air', () => {
    const bench = benchOf(true);
    const coupled = { ...bench, gun: { ...bench.gun, output: 'coupled' as const } };
    expect(of(coupled, 'pump-insert')).toMatchObject({ seen: 'first', sprayHours: 25, missing: ['powder/output'] });
    expect(of(coupled, 'pump-seals')).toMatchObject({ seen: 'candidate', smallestChange: null });
  });

  it('says of a leak that another powder looks alike where neither its name nor ripple is read', () => {
    const bench = benchOf(false);
    bench.memory.powder = '';
    const sight = of(bench, 'pump-seals');
    expect(sight).toMatchObject({ seen: 'first', missing: ['powder/id', 'conveying/ripple'] });
    expect(sight.why).toContain('another powder');
    expect(sight.sprayHours).toBeGreaterThan(of(benchOf(false), 'pump-seals').sprayHours!);
    expect(sight.smallestChange).toBeCloseTo(0.08, 6);
  });

  it('sees a leak not at all where the output is set, and neither the powder’s name nor ripple is read', () => {
    const bench = benchOf(false);
    bench.memory.powder = '';
    const set = { ...bench, gun: { ...bench.gun, output: 'setpoint' as const } };
    expect(of(set, 'pump-seals')).toMatchObject({ seen: 'none', missing: ['powder/id', 'conveying/ripple'] });
  });

  it('follows the settings: what is not worth a visit is not looked for, and fewer false alarms take longer', () => {
    const large = { overrides: [{ part: 'pump-seals', smallestChange: 0.2 }] };
    expect(of(benchOf(false, large), 'pump-seals').smallestChange).toBeCloseTo(0.2, 6);
    expect(of(benchOf(false), 'pump-seals').smallestChange!).toBeLessThan(0.2);
    const strict = of(benchOf(false, { falseAlarmsPerGunYear: 0.03 }), 'pump-seals').sprayHours!;
    expect(strict).toBeGreaterThan(of(benchOf(false), 'pump-seals').sprayHours!);
  });
});
