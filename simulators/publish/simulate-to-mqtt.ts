import { AppError } from '../../collector/contract/errors.ts';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { addDays, localDate, type ShopDay, shopDay } from '../calendar/shop-day.ts';
import { mixKey } from '../random.ts';
import { buildHall } from '../scenarios/build-hall.ts';
import { scenarioOf } from '../scenarios/registry.ts';
import { drawSetting } from '../scenarios/setting.ts';
import { publishHall } from './publish-hall.ts';

/**
 * Publishes a scenario over MQTT. Its story is moved so that it ends about now: event times begin in the past, go by `speed` times
 * as fast until they reach now, then in real time until the signal comes.
 *
 * @param task.speed times real time for the past; 0 or absent: as fast as the broker acknowledges
 * @param task.now the clock, epoch ms
 * @throws {AppError} USAGE for an unknown scenario, a bad seed, speed or URL; PORT_UNUSABLE for a broker that cannot be used
 */
export async function simulateToMqtt(task: {
  readonly scenario: string;
  readonly seed: number;
  readonly url: string;
  readonly speed?: number;
  readonly signal: AbortSignal;
  readonly now: () => number;
  readonly root?: string;
  readonly onLog?: (entries: readonly LogEntry[]) => Promise<void>;
  readonly onProgress?: (progress: { reachedMs: number; live: boolean; readings: number }) => void;
  readonly onTrouble?: (message: string) => void;
}): Promise<void> {
  const scenario = scenarioOf(task.scenario);
  if (!Number.isSafeInteger(task.seed)) throw new AppError('USAGE', `seed ${task.seed}, expected a whole number`);
  const speed = task.speed ?? 0;
  if (!(speed >= 0)) throw new AppError('USAGE', `speed ${task.speed}, expected 0 (as fast as it goes) or more`);
  if (!/^(mqtts?|wss?):\/\/./.test(task.url))
    throw new AppError('USAGE', `MQTT address "${task.url}", expected mqtt://HOST:PORT`);
  const drawn = drawSetting(scenario, mixKey(task.seed, [scenario.name]));
  const today = localDate(task.now(), drawn.timezone);
  const firstDate = addDays(today, -drawn.days);
  const daysOff = new Set<string>();
  const setting = { ...drawn, firstDate, daysOff };
  const hall = buildHall(scenario, task.seed, { setting });
  function* days(): Generator<ShopDay> {
    yield* hall.work.days;
    for (let date = today; ; date = addDays(date, 1)) yield shopDay(setting.pattern, setting.timezone, date, daysOff);
  }
  await publishHall({
    hall,
    days: days(),
    url: task.url,
    root: task.root ?? 'airlines',
    now: task.now,
    speed: speed === 0 ? Number.POSITIVE_INFINITY : speed,
    signal: task.signal,
    onLog: task.onLog,
    onProgress: task.onProgress,
    onTrouble: task.onTrouble,
  });
}
