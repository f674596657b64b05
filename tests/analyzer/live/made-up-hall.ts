import { type Frames, Plant } from '../../../collector/contract/index.ts';
import { framesOf, type Instant, noise, sprayed } from '../runs/station-frames.ts';

/** Three guns, one without a trigger and one with a set output, and a plant-air point. */
export const PLANT = Plant.parse({
  site: { id: 'hall-1', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-1' }, { id: 'gun-2', output: 'setpoint' }, { id: 'gun-3' }],
  air: [{ id: 'dryer' }],
});

export const START = Date.UTC(2025, 8, 22, 4);
const DAY_MS = 86_400_000;

const DECIMALS: Partial<Record<string, number>> = { 'powder/output': 100, 'conveying/flow': 1000 };

/** Values as they are kept: rounded to the resolution of their channel. */
function kept(instants: Instant[]): Instant[] {
  return instants.map(
    (instant) =>
      Object.fromEntries(
        Object.entries(instant).map(([name, value]) =>
          name === 'time' || typeof value !== 'number'
            ? [name, value]
            : [name, Math.round(value * (DECIMALS[name] ?? 10_000)) / (DECIMALS[name] ?? 10_000)],
        ),
      ) as Instant,
  );
}

/** Some days of two hours with pulls, drop-outs, a silent gun and a powder change. */
export function madeUpHall(days = 3): Map<string, Frames> {
  const frames = new Map<string, Frames>();
  for (const [place, id] of ['gun-1', 'gun-2', 'gun-3'].entries()) {
    const random = noise(place + 11);
    const instants: Instant[] = [];
    for (let day = 0; day < days; day++) {
      const plans = Array.from({ length: 90 }, (_, index) => ({
        sprayMs: 6000 + Math.floor((random() + 1) * 12) * 1000,
        idleMs: 20_000 + Math.floor((random() + 1) * 30) * 1000,
        powder: day > 0 && index > 40 ? 'p-2' : 'p-1',
        output: index > 60 ? 180 : 150,
      }));
      instants.push(
        ...sprayed(plans, { start: START + day * DAY_MS + place * 700, trigger: id !== 'gun-3', seed: place + day }),
      );
    }
    const silentFrom = START + DAY_MS + 30 * 60_000;
    const heard = instants.filter(
      ({ time }, index) => !(id === 'gun-2' && time > silentFrom && time < silentFrom + 40 * 60_000) && index % 53 > 3,
    );
    frames.set(id, framesOf(id, kept(heard)));
  }
  const random = noise(5);
  const air = Array.from({ length: days * 1440 }, (_, minute) => ({
    time: START - 3_600_000 + minute * 60_000,
    'supply/pressure': 7 + 0.1 * random(),
  })).filter(({ time }) => (time - START + 3_600_000) % DAY_MS < 10 * 3_600_000);
  frames.set('dryer', framesOf('dryer', kept(air)));
  return frames;
}
