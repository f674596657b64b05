import type { Frames, LogEntry } from '../../../collector/contract/index.ts';
import { framesOf, type Instant, noise, type PullPlan, sprayed } from '../runs/station-frames.ts';
import { START } from './made-up-hall.ts';

const DAY_MS = 86_400_000;
/** Day on which the worn insert is changed. */
const CHANGED = 13;

/**
 * Days of shifts in which one gun needs more and more air for its output until its insert is changed, another
 * jumps after a refit, and a third falls silent for an hour: enough for findings of several causes.
 */
export function wearingHall(days = 16): { frames: Map<string, Frames>; log: LogEntry[] } {
  const frames = new Map<string, Frames>();
  for (const [place, id] of ['gun-1', 'gun-2', 'gun-3'].entries()) {
    const random = noise(place + 3);
    const instants: Instant[] = [];
    for (let day = 0; day < days; day++) {
      const worn = id === 'gun-1' && day < CHANGED ? 1 + 0.025 * Math.max(0, day - 1) : 1;
      const leaking = id === 'gun-2' && day >= 3 ? 1.12 : 1;
      const plans = Array.from({ length: 180 }, (_, index): PullPlan => {
        const recipe = 1 + 0.1 * ((index % 5) - 2);
        const flow = 2 * recipe * worn * leaking * (1 + 0.01 * random());
        return {
          sprayMs: 14_000 + Math.floor((random() + 1) * 10) * 1000,
          idleMs: 25_000 + Math.floor((random() + 1) * 25) * 1000,
          flow,
          pressure: 1.25 * flow - 1,
          output: 150 * recipe ** 1.3,
        };
      });
      const sampling = {
        start: START + day * DAY_MS + place * 700,
        seed: place + 10 * day,
        noise: 0.015,
        slowEvery: 3,
      };
      instants.push(...sprayed(plans, sampling));
    }
    const silentFrom = START + 2 * DAY_MS + 3_600_000;
    const heard = instants.filter(
      ({ time }) => !(id === 'gun-3' && time > silentFrom && time < silentFrom + 3_600_000),
    );
    for (const instant of heard)
      for (const [name, value] of Object.entries(instant))
        if (name !== 'time' && name !== 'powder')
          Object.assign(instant, { [name]: Math.round(Number(value) * 100) / 100 });
    frames.set(id, framesOf(id, heard));
  }
  const at = (day: number): number => START + day * DAY_MS - 1_800_000;
  const entry = (time: number, gun: string, part: string): LogEntry => ({
    time,
    gun,
    part,
    action: 'replaced',
    found: 'worn',
    note: '',
  });
  return {
    frames,
    log: [
      entry(at(0), 'gun-1', 'pump-insert'),
      entry(at(CHANGED), 'gun-1', 'pump-insert'),
      entry(at(3), 'gun-2', 'nozzle'),
    ],
  };
}
