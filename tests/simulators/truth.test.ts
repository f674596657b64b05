import { describe, expect, it } from 'vitest';
import { truthOf } from '../../simulators/output/truth-of.ts';
import { buildHall } from '../../simulators/scenarios/build-hall.ts';
import { scenarioOf, scenarios } from '../../simulators/scenarios/registry.ts';
import { runHall } from '../../simulators/simulation.ts';
import type { Truth } from '../../simulators/truth.ts';

/** The truth of a scenario cut to few guns. */
function truthFor(name: string, guns: number, seed = 5): Truth {
  const hall = buildHall({ ...scenarioOf(name), guns, intervalS: [10] }, seed);
  for (const _ of runHall(hall));
  return truthOf(hall, hall.work.span.start, hall.work.span.end);
}

describe('the truth of a hall', () => {
  const truth = truthFor('mixed', 4);

  it('tells lives that follow each other, wear that only grows, and marks in order', () => {
    for (const gun of truth.guns) {
      expect(gun.lives[0]!.fittedAtStart).toBe(!gun.lives[0]!.startLogged);
      for (const [index, life] of gun.lives.entries()) {
        if (index > 0) expect(life.start).toBe(gun.lives[index - 1]!.end);
        expect(life.end === null).toBe(index === gun.lives.length - 1);
        const losses = life.curve.map(({ loss }) => loss);
        expect(losses).toEqual([...losses].sort((left, right) => left - right));
        const marks = life.reached.map(({ sprayHours }) => sprayHours ?? Number.POSITIVE_INFINITY);
        expect(marks).toEqual([...marks].sort((left, right) => left - right));
        const full = life.reached.find(({ share }) => share === 1)!;
        expect(full.time !== null).toBe(life.endLoss >= gun.wearLimit);
        if (full.sprayHours !== null) expect(life.limitSprayHours).toBe(full.sprayHours);
        else if (life.limitSprayHours !== null)
          expect(life.limitSprayHours).toBeGreaterThan(life.curve.at(-1)!.sprayHours - 1);
      }
    }
  });

  it('counts all that was sprayed in its lives', () => {
    for (const gun of truth.guns) {
      const closed = gun.lives.slice(0, -1).reduce((sum, life) => sum + (life.curve.at(-1)?.sprayHours ?? 0), 0);
      // Lives are charted at the ends of shifts; a change in between leaves up to a shift unseen.
      expect(closed).toBeLessThanOrEqual(gun.sprayHours);
      expect(gun.kilograms / gun.sprayHours / 0.06 / gun.usualOutput).toBeGreaterThan(0.75);
      expect(gun.kilograms / gun.sprayHours / 0.06 / gun.usualOutput).toBeLessThan(1.25);
    }
  });

  it('names events that begin, end and grow as they say', () => {
    expect(truth.events.length).toBeGreaterThan(5);
    for (const event of truth.events) {
      if (event.end !== null) expect(event.end > event.onset).toBe(true);
      if (event.shape === 'ramp' && event.reached70 !== null) expect(event.reached70 > event.onset).toBe(true);
      if (event.shape === 'ramp')
        expect(Math.abs(event.size) >= 0.7 * Math.abs(event.limit!)).toBe(event.reached70 !== null);
    }
  });

  it('ends every mended fault with a change of its part', () => {
    for (const event of truth.events.filter(({ shape, end }) => shape !== 'span' && end !== null)) {
      expect(event.endedBy).toBe(event.cause);
      const change = truth.changes.find(
        ({ gun, part, time, cured }) => cured && gun === event.guns[0] && part === event.cause && time === event.end,
      );
      expect(change?.logged).toBe(event.endLogged);
    }
  });

  it('has no fault, and every kind of trap, in the healthy hall', () => {
    const healthy = truthFor('healthy-traps', 6);
    expect(healthy.events).toEqual([]);
    const kinds = new Set(healthy.traps.map(({ kind }) => kind));
    for (const kind of [
      ...scenarioOf('healthy-traps').traps,
      'powder-change',
      'lot-change',
      'bridging-box',
      'empty-box',
    ])
      expect(kinds, kind).toContain(kind);
    for (const gun of healthy.guns)
      for (const life of gun.lives) expect(life.endLoss / gun.wearLimit).toBeLessThan(0.3);
  });
});

describe('the scenarios', () => {
  const planned = (name: string): Set<string> => {
    const hall = buildHall(scenarioOf(name), 5);
    const faults = hall.guns.flatMap(({ state }) => state.faults.map(({ plan }) => plan.cause as string));
    return new Set([...faults, ...hall.supplyEvents.map(({ kind }) => kind), ...hall.badLots.map(() => 'lot')]);
  };

  it('plan the faults that they are about', () => {
    expect([...planned('insert-lives')]).toEqual([]);
    expect(planned('seals')).toEqual(new Set(['pump-seals', 'gun-seals']));
    expect(planned('filters')).toEqual(new Set(['conveying-filter', 'supplementary-filter', 'inlet-filter']));
    expect(planned('fluidizing')).toEqual(new Set(['fluidizing-ring']));
    expect(planned('supply')).toContain('sag');
    expect(planned('sensors')).toEqual(new Set(['sensor', 'sensor:clock', 'no-data']));
    expect(planned('mixed').size).toBeGreaterThan(8);
  });

  it('have names of their own in lower case and a summary', () => {
    const names = scenarios.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    for (const { name, summary } of scenarios) {
      expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/);
      expect(summary.length).toBeGreaterThan(20);
    }
  });
});
