import { describe, expect, it } from 'vitest';
import { resetQuantity } from '../../../analyzer/baseline/gaussian-state.ts';
import { type GunMemory, newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { SIGNALS } from '../../../analyzer/baseline/learn-signals.ts';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { learnSteadyLevel } from '../../../analyzer/baseline/steady-level.ts';
import { emptyBook } from '../../../analyzer/diagnose/finding-book.ts';
import { judgeDewPoint } from '../../../analyzer/diagnose/judge-dew-point.ts';
import { judgeLines } from '../../../analyzer/diagnose/judge-lines.ts';
import { followLow, judgeSharedLines } from '../../../analyzer/diagnose/shared-line.ts';
import type { Bench } from '../../../analyzer/diagnose/site-view.ts';
import { type Finding, Plant, Settings, settingsFor } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);
const HOUR = 3_600_000;
const DRIFT = 2;
const IDS = ['gun-01', 'gun-02', 'gun-03', 'gun-04'] as const;

/** Four guns of one air line whose fluidizing is known; what it has lost (ln) is set by hand. */
function hall(supplies: readonly string[] = []) {
  const plant = Plant.parse({
    site: { id: 'hall-2', timezone: 'Europe/Vienna' },
    guns: IDS.map((id, at) => ({ id, ...(supplies[at] === undefined ? {} : { supply: supplies[at] }) })),
  });
  const guns: Record<string, GunMemory> = {};
  for (const id of IDS) {
    const memory = newGunMemory(id, 'value');
    memory.sprayHours = 20;
    for (const side of ['fluidizing', 'supplementary'] as const)
      for (let at = 0; at < 12; at++)
        learnSteadyLevel(memory[side], SIGNALS[side], START + at * HOUR, 0.4, 0, 0.9, 1e-4);
    guns[id] = memory;
  }
  const book = emptyBook();
  const told: Finding[] = [];
  const tunablesOf = (part: string) => settingsFor(Settings.parse({}), { gun: 'gun-01', powder: 'p-1', part });
  return {
    told,
    /** The dew point of a line at so many hours after the start: risen, or back. */
    dewPoint(hours: number, supply: string, wet: boolean): void {
      const now = START + hours * HOUR;
      const fact = {
        kind: 'wet-air',
        station: IDS[supplies.indexOf(supply)]!,
        time: now,
        noticed: now,
        until: null,
        dewpointCel: 17,
        usualCel: 3,
      } as const;
      judgeDewPoint({ plant, guns, book, now, told }, wet ? [fact] : [], []);
    },
    /** Looks at all guns so many hours after the start, each with the loss of its fluidizing and of its supplementary air. */
    look(hours: number, losses: readonly number[], supplementary: readonly number[] = [0, 0, 0, 0]): void {
      const now = START + hours * HOUR;
      IDS.forEach((id, at) => {
        const memory = guns[id]!;
        memory.sprayHours += 2;
        memory.fluidizing.time = now - HOUR / 10;
        resetQuantity(memory.fluidizing.gaussian, DRIFT, -losses[at]!, 0.015 ** 2);
        memory.supplementary.time = now - HOUR / 10;
        resetQuantity(memory.supplementary.gaussian, DRIFT, -supplementary[at]!, 0.015 ** 2);
        followLow(memory, 'fluidizing');
        followLow(memory, 'supplementary');
      });
      IDS.forEach((id, at) => {
        const memory = guns[id]!;
        judgeLines({
          ...{ plant, gun: plant.guns[at]!, memory, pool: emptyPumpPool(), guns, book, now, told, dismissals: [] },
          ...{ tunables: tunablesOf('pump-insert'), tunablesOf },
        } as Bench);
      });
      judgeSharedLines({ plant, guns, book, now, told });
    },
  };
}

/** What was told, each once: an open finding is told anew after some hours. */
const said = (told: readonly Finding[]) => {
  const once = new Map(told.map(({ gun, cause, cleared }) => [`${gun} ${cause} ${cleared}`, { gun, cause, cleared }]));
  return [...once.values()].map(({ gun, cause, cleared }) => ({ gun, cause, open: cleared === null }));
};

describe('fluidizing air that passes less', () => {
  it('on all guns since the same day is the air, and no ring', () => {
    const { told, look } = hall();
    look(12, [0, 0, 0, 0]);
    look(24, [0.17, 0.16, 0.2, 0.18]);
    look(34, [0.17, 0.16, 0.2, 0.18]);
    look(48, [0.17, 0.16, 0.2, 0.18]);
    expect(said(told)).toEqual([{ gun: null, cause: 'supply-air', open: true }]);
    expect(told[0]!.guns).toEqual([...IDS]);
    expect(told[0]!.evidence[0]).toContain('fluidizing air of 4 guns: 16 % less');
    look(96, [0, 0, 0.01, 0]);
    expect(told.at(-1)!.cleared).not.toBeNull();
  });

  it('together with the supplementary air is told of both, each by a name of its own', () => {
    const { told, look } = hall();
    look(12, [0, 0, 0, 0]);
    const lost = [0.17, 0.16, 0.2, 0.18];
    for (const hours of [24, 34]) look(hours, lost, lost);
    expect(told.map(({ gun, cause, evidence }) => [gun, cause, evidence[0]!.slice(0, 16)])).toEqual([
      [null, 'supply-air', 'fluidizing air o'],
      [null, 'supply-air', 'supplementary ai'],
    ]);
    expect(new Set(told.map(({ raised }) => raised)).size).toBe(2);
    expect(told.map(({ candidates }) => candidates.map(({ cause }) => cause))).toEqual([
      ['supply-air', 'powder'],
      ['supply-air'],
    ]);
  });

  it('on three guns one after the other, and some of them twice a little less, is the air on all three', () => {
    const { told, look } = hall();
    look(12, [0, 0, 0, 0]);
    look(24, [0.17, 0, 0, 0]);
    look(44, [0.05, 0, 0, 0]);
    for (const hours of [64, 68]) look(hours, [0.17, 0.17, 0, 0]);
    for (const hours of [71, 74, 78]) look(hours, [0.17, 0.17, 0.17, 0]);
    expect(said(told).at(-1)).toEqual({ gun: null, cause: 'supply-air', open: true });
    expect(told.at(-1)!.guns).toEqual(IDS.slice(0, 3));
  });

  it('on all guns by less than is worth a visit is not told', () => {
    const { told, look } = hall();
    look(12, [0, 0, 0, 0]);
    for (const hours of [24, 34, 48]) look(hours, [0.07, 0.07, 0.07, 0.07]);
    expect(told).toEqual([]);
    look(58, [0.09, 0.09, 0.09, 0.09]);
    expect(said(told)).toEqual([{ gun: null, cause: 'supply-air', open: true }]);
  });

  it('on one gun is its ring', () => {
    const { told, look } = hall();
    for (const hours of [12, 24, 34, 48]) look(hours, [hours > 12 ? 0.17 : 0, 0, 0, 0]);
    expect(said(told)).toEqual([{ gun: 'gun-01', cause: 'fluidizing-ring', open: true }]);
  });

  it('on all guns, each in its own week, are rings that were put in together', () => {
    const { told, look } = hall();
    for (let day = 1; day <= 40; day++)
      look(
        24 * day,
        [0, 1, 2, 3].map((at) => Math.max(0, 0.01 * (day - 4 * at))),
      );
    const parts = said(told).filter(({ cause }) => cause === 'fluidizing-ring');
    expect(new Set(parts.map(({ gun }) => gun))).toEqual(new Set(IDS));
    expect(said(told).some(({ cause }) => cause === 'supply-air')).toBe(false);
  });

  it('by much more on one gun than on the others is the ring of that one, beside the air', () => {
    const { told, look } = hall();
    look(12, [0, 0, 0, 0]);
    for (const hours of [24, 34, 48, 60, 72]) look(hours, [0.4, 0.12, 0.13, 0.12]);
    expect(said(told)).toContainEqual({ gun: null, cause: 'supply-air', open: true });
    const ring = told.find(({ cause }) => cause === 'fluidizing-ring')!;
    expect(ring.gun).toBe('gun-01');
    expect(ring.evidence[0]).toContain('than the other guns, which have lost some since the same time, too');
  });

  it('on the one gun that was told first is taken back once the others say the same', () => {
    const { told, look } = hall();
    look(12, [0, 0, 0, 0]);
    for (const hours of [24, 30]) look(hours, [0.17, 0, 0, 0]);
    expect(said(told)).toEqual([{ gun: 'gun-01', cause: 'fluidizing-ring', open: true }]);
    for (const hours of [36, 40]) look(hours, [0.17, 0.16, 0.18, 0.17]);
    expect(said(told).slice(1)).toContainEqual({ gun: 'gun-01', cause: 'fluidizing-ring', open: false });
    expect(said(told).at(-1)).toEqual({ gun: null, cause: 'supply-air', open: true });
  });

  it.each([
    ['before', 20],
    ['after', 25],
  ])(
    'in air whose dew point rose %s it is told by that alone, on a line of two guns too, and is a ring’s when it stays',
    (_, risen) => {
      const { told, look, dewPoint } = hall(['line-a', 'line-a', 'line-b', 'line-b']);
      look(12, [0, 0, 0, 0]);
      if (risen < 24) dewPoint(risen, 'line-a', true);
      look(24, [0.17, 0.18, 0, 0]);
      dewPoint(Math.max(risen, 24), 'line-a', true);
      for (const hours of [34, 48]) look(hours, [0.17, 0.18, 0, 0]);
      dewPoint(50, 'line-a', false);
      for (const hours of [52, 60, 70]) look(hours, [0.17, 0, 0, 0]);
      expect(new Set(said(told).map(({ cause }) => cause))).toEqual(new Set(['supply-air']));
      for (const hours of [80, 90, 100]) look(hours, [0.17, 0, 0, 0]);
      expect(said(told).at(-1)).toEqual({ gun: 'gun-01', cause: 'fluidizing-ring', open: true });
    },
  );

  it('in air that is wet, dry and wet again within a day is the wet air’s from the first time on', () => {
    const { told, look, dewPoint } = hall(['line-a', 'line-a', 'line-b', 'line-b']);
    look(12, [0, 0, 0, 0]);
    dewPoint(20, 'line-a', true);
    look(24, [0.17, 0.18, 0, 0]);
    dewPoint(30, 'line-a', false);
    dewPoint(40, 'line-a', true);
    for (const hours of [48, 58, 68]) look(hours, [0.17, 0.18, 0, 0]);
    expect(new Set(said(told).map(({ cause }) => cause))).toEqual(new Set(['supply-air']));
  });
});
