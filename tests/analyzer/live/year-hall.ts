import { type Frames, type LogEntry, Plant } from '../../../collector/contract/index.ts';
import { framesOf, type Instant, noise, type PullPlan, sprayed } from '../runs/station-frames.ts';

const DAY_MS = 86_400_000;
/** A Monday. */
export const YEAR_START = Date.UTC(2025, 0, 6, 6);
export const dayOfYear = (day: number): number => YEAR_START + day * DAY_MS;

export const YEAR_PLANT = Plant.parse({
  site: { id: 'hall-1', timezone: 'UTC' },
  guns: [{ id: 'gun-1' }, { id: 'gun-2' }, { id: 'gun-3' }],
});

/** Days between two changes of an insert, by gun. */
const LIFE_DAYS = [34, 48, 61];
/** The second gun leaks on these days, the third's node is silent for a while now and then, and away over a holiday. */
const LEAKS = { from: 66, to: 77 };
const SILENT_EVERY = 23;
const AWAY = { from: 200, to: 214 };

/**
 * A year of three guns that spray for some minutes each working day: inserts wear and are changed, seals leak, a node falls silent.
 *
 * @returns readings by gun and day, and the log
 */
export function yearHall(days = 364): { days: Map<string, Frames>[]; log: LogEntry[] } {
  const log: LogEntry[] = [];
  const entry = (time: number, gun: string, part: string): LogEntry => ({
    ...{ time, gun, part, action: 'replaced', found: 'worn', note: '' },
  });
  const perDay: Map<string, Frames>[] = [];
  const random = noise(7);
  for (let day = 0; day < days; day++) {
    const frames = new Map<string, Frames>();
    perDay.push(frames);
    if (day % 7 > 4) continue;
    for (let place = 0; place < 3; place++) {
      const id = `gun-${place + 1}`;
      if (place === 2 && day >= AWAY.from && day < AWAY.to) continue;
      const age = day % LIFE_DAYS[place]!;
      if (age < 1 || (age < 3 && day % 7 === 0)) log.push(entry(dayOfYear(day) - 600_000, id, 'pump-insert'));
      const worn = 1 + (0.3 * age) / LIFE_DAYS[place]!;
      const leaking = place === 1 && day >= LEAKS.from && day < LEAKS.to ? 1.13 : 1;
      const plans = Array.from({ length: 12 }, (_, index): PullPlan => {
        const recipe = 1 + 0.1 * ((index % 5) - 2);
        const flow = 2 * recipe * worn * leaking * (1 + 0.01 * random());
        return {
          ...{ sprayMs: 26_000 + Math.floor((random() + 1) * 8) * 1000, idleMs: 20_000 },
          ...{ flow, pressure: 1.25 * flow - 1, output: 150 * recipe ** 1.3 },
        };
      });
      const start = dayOfYear(day) + place * 700;
      const sampling = { start, seed: place + 10 * day, noise: 0.015, slowEvery: 3, sprayEveryMs: 4000 };
      const heard = sprayed(plans, sampling).filter(
        ({ time }) => !(place === 2 && day % SILENT_EVERY === 5 && time > start + 300_000),
      );
      // The node reports once more at noon, so that a day has no silence that is worth a finding but those meant.
      const later: Instant[] = Array.from({ length: 7 }, (_, index) => ({
        ...{ time: start + 1_200_000 + index * 1_500_000, trigger: 0, 'conveying/flow': 0, 'conveying/pressure': 0 },
      })).filter(({ time }) => !(place === 2 && day % SILENT_EVERY === 5 && time < start + 7_200_000));
      for (const instant of heard)
        for (const [name, value] of Object.entries(instant))
          if (name !== 'time' && name !== 'powder')
            Object.assign(instant, { [name]: Math.round(Number(value) * 100) / 100 });
      frames.set(id, framesOf(id, [...heard, ...later]));
    }
  }
  log.push(entry(dayOfYear(LEAKS.to) - 600_000, 'gun-2', 'pump-seals'));
  return { days: perDay, log: log.sort((left, right) => left.time - right.time) };
}
