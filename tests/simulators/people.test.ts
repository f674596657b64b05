import { describe, expect, it } from 'vitest';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import type { FaultPlan } from '../../simulators/gun/fault.ts';
import { runDay } from '../../simulators/simulation.ts';
import { median, SMALL, smallHall } from './small-hall.ts';

/** A hall of one gun without nuisances; `plans` is what goes wrong with it. */
function quietHall(plans: (start: number) => Partial<FaultPlan>[], changes: Partial<typeof SMALL> = {}) {
  return smallHall(
    {
      guns: 1,
      recipes: 1,
      powders: 1,
      newAtStart: 1,
      lifeSprayHours: 1e6,
      unusedChance: 0,
      operators: { personSpread: 0, driftSpread: 0, deadBand: 0.04, delayPulls: 6 },
      nuisance: { day: 0, shift: 0, week: 0, lot: 0, weather: 0, pull: 0.005 },
      maintenance: { ...SMALL.maintenance, refit: 0, inspections: 0 },
      emptyBox: 0,
      bridging: 0,
      ...changes,
    },
    4,
    {
      storyOf: (_, drawn) => ({
        ...drawn,
        fresh: true,
        wornShare: 0,
        plans: plans(0).map((plan, index) => ({
          id: `${index}`,
          cause: 'pump-seals',
          gun: 0,
          shape: 'step',
          onset: 0,
          size: 0.1,
          sprayHours: 10,
          mendAfter: 1e6,
          logged: true,
          wrongFirst: null,
          ...plan,
        })),
      }),
    },
  );
}

/** Medians of a day while spraying steadily. */
function steady(hall: ReturnType<typeof quietHall>, day: number): { flow: number; bar: number; ripple: number } {
  const { columns } = runDay(hall, hall.work.days[day]!).sent[0]!.frames;
  const rows = [...columns.trigger!.keys()].filter(
    (row) => columns.trigger![row] === 1 && columns.trigger![row - 1] === 1,
  );
  const of = (channel: keyof typeof columns): number => median(rows.map((row) => columns[channel]![row]!));
  return { flow: of('conveying/flow'), bar: of('conveying/pressure'), ripple: of('conveying/ripple') };
}

describe('the person at the gun', () => {
  it('makes up for failed seals with about the excess air that they cost, and the ripple tells', () => {
    const sound = quietHall(() => []);
    const leaking = quietHall(() => [{ size: 0.12 }]);
    for (const day of [0, 1]) for (const hall of [sound, leaking]) runDay(hall, hall.work.days[day]!);
    const before = steady(sound, 2);
    const after = steady(leaking, 2);
    expect(after.flow / before.flow - 1).toBeGreaterThan(0.06);
    expect(after.flow / before.flow - 1).toBeLessThan(0.18);
    expect(after.ripple / before.ripple).toBeGreaterThan(1.7);
  });

  it('turns the pressure up for a clogged filter and keeps the air', () => {
    const clean = quietHall(() => []);
    const clogged = quietHall(() => [{ cause: 'conveying-filter', size: 0.2 }]);
    for (const day of [0, 1]) for (const hall of [clean, clogged]) runDay(hall, hall.work.days[day]!);
    const before = steady(clean, 2);
    const after = steady(clogged, 2);
    expect(Math.abs(after.flow / before.flow - 1)).toBeLessThan(0.06);
    expect((after.bar + 1) / (before.bar + 1)).toBeGreaterThan(1.12);
  });
});

describe('work that somebody logs', () => {
  it('ends the fault of that part, and no other', () => {
    const hall = quietHall(() => [{}, { cause: 'conveying-filter' }]);
    runDay(hall, hall.work.days[0]!);
    const { state, maintenance } = hall.guns[0]!;
    const entry: LogEntry = {
      time: hall.work.days[1]!.shifts[0]!.start,
      gun: 'gun-01',
      part: 'pump-seals',
      action: 'replaced',
      found: 'failed',
      note: '',
    };
    maintenance.obey(state, { ...entry, action: 'inspected' });
    expect(state.faults.map(({ active }) => active)).toEqual([true, true]);
    maintenance.obey(state, entry);
    expect(state.faults.map(({ active }) => active)).toEqual([false, true]);
    maintenance.obey(state, { ...entry, part: 'pump-insert', found: 'worn' });
    expect(state.lives).toHaveLength(1);
    expect(state.lives[0]).toMatchObject({ endLogged: true, found: 'worn' });
  });
});
