import { expect, it } from 'vitest';
import { lifeHoursAt, lossAt } from '../../analyzer/replay/evaluation-case.ts';
import { caseOf } from '../../evaluation/case-of.ts';
import type { Truth } from '../../simulators/index.ts';

const at = (text: string): number => Date.parse(`${text}:00Z`);

it('nothing wears in the truth while nobody sprays', () => {
  const truth = {
    ...{ scenario: 'told', seed: 1, start: '2026-01-05T06:00:00Z', end: '2026-01-07T14:00:00Z', events: [], traps: [] },
    guns: [
      {
        ...{ id: 'gun-01', channels: [], sprayHours: 6, wearLimit: 0.2 },
        lives: [
          {
            ...{
              start: '2026-01-05T06:00:00Z',
              end: null,
              startLogged: true,
              fittedAtStart: false,
              limitSprayHours: 50,
            },
            reached: [],
            curve: [
              { time: '2026-01-05T14:00:00Z', sprayHours: 2, kilograms: 1, loss: 0.02, excessAir: 0.01 },
              { time: '2026-01-06T14:00:00Z', sprayHours: 4, kilograms: 2, loss: 0.04, excessAir: 0.02 },
              { time: '2026-01-07T14:00:00Z', sprayHours: 6, kilograms: 3, loss: 0.06, excessAir: 0.03 },
            ],
          },
        ],
      },
    ],
  } as unknown as Truth;
  // Runs of the first day, then of the third: on the second the gun was not used before noon.
  const ends = ['2026-01-05T08:00', '2026-01-05T13:00', '2026-01-06T12:00', '2026-01-06T13:30', '2026-01-07T06:00'];
  const clock = { ends: Float64Array.from(ends, at), hours: Float64Array.of(1, 2, 3, 4, 6) };
  const one = caseOf(truth, { findings: [], snapshots: [], clocks: new Map([['gun-01', clock]]) });
  const life = one.guns[0]!.lives[0]!;
  expect(lossAt(life, at('2026-01-06T11:00'))).toBeCloseTo(0.02, 12);
  expect(lossAt(life, at('2026-01-06T13:00'))).toBeCloseTo(0.03, 12);
  expect(lossAt(life, at('2026-01-07T05:00'))).toBeCloseTo(0.04, 12);
  expect(lifeHoursAt(life, at('2026-01-07T10:00'))).toBeCloseTo(5, 12);
  expect(lossAt(life, at('2026-01-08T00:00'))).toBeCloseTo(0.06, 12);
});
