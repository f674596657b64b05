import { z } from 'zod';
import { GunCondition } from '../../collector/contract/finding.ts';
import { demoPlan } from '../scenarios/demo.ts';
import { publishDemo } from './demo.ts';
import { tellDemoRecords } from './demo-records.ts';
import { DemoUpkeep } from './demo-upkeep.ts';
import { demoWork } from './demo-work.ts';
import { LogOverHttp } from './log-over-http.ts';
import { ServiceDoor } from './service-door.ts';

/** Time of the newest reading that the service has, epoch ms; none: -Infinity. */
async function newestReading(door: ServiceDoor): Promise<number> {
  const guns = z.array(GunCondition).parse(await door.ask('/api/guns'));
  return Math.max(...guns.map(({ asOf }) => (asOf === null ? Number.NEGATIVE_INFINITY : Date.parse(asOf))));
}

/**
 * The guns of the demo beside a running service: publishes their history and then their present over MQTT, and writes
 * their maintenance through the service's own door. Work that people log there is felt by the guns within two minutes.
 * What a service with an older folder has already is not told again.
 *
 * @param task.now the clock, epoch ms
 * @param task.onSay takes a sentence for people
 * @throws {AppError} PORT_UNUSABLE when the broker cannot be used, INTERNAL when the service refuses a log entry
 */
export async function runDemoGuns(task: {
  readonly mqttUrl: string;
  readonly httpUrl: string;
  readonly now: () => number;
  readonly signal: AbortSignal;
  readonly seed?: number;
  readonly onSay: (sentence: string) => void;
}): Promise<void> {
  const { signal, onSay } = task;
  const begun = task.now();
  const door = new ServiceDoor(task.httpUrl, signal);
  const log = new LogOverHttp(door);
  const upkeep = new DemoUpkeep(door);
  let live = false;
  try {
    const since = await newestReading(door);
    if (since === Number.NEGATIVE_INFINITY) {
      for (const entry of demoWork(begun)) await log.tell(entry);
      await tellDemoRecords(door, begun);
      await upkeep.tellShifts(demoPlan(begun, task.seed).hall.setting.pattern);
    }
    await publishDemo({
      url: task.mqttUrl,
      now: task.now,
      signal,
      since,
      ...(task.seed === undefined ? {} : { seed: task.seed }),
      onLog: async (entries) => {
        for (const entry of entries) await log.tell(entry);
      },
      workDone: async () => {
        await upkeep.speak(task.now());
        return log.news();
      },
      onProgress: (progress) => {
        if (live || !progress.live) return;
        live = true;
        const seconds = Math.round((task.now() - begun) / 1000);
        onSay(`eight weeks of history sent in ${seconds} s (${progress.readings} reports); the guns are live`);
      },
      onTrouble: (message) => onSay(`connection lost, being mended: ${message}`),
    });
  } catch (error) {
    if (!signal.aborted) throw error;
  }
}
