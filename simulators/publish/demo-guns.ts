import { z } from 'zod';
import { AppError } from '../../collector/contract/errors.ts';
import { GunCondition } from '../../collector/contract/finding.ts';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { publishDemo } from './demo.ts';

/** Tells a running service what was done to a gun, as `POST /api/log` takes it. */
async function tellLog(httpUrl: string, entry: LogEntry, signal: AbortSignal): Promise<void> {
  const { time, gun, part, action, found, note } = entry;
  const answer = await fetch(new URL('/api/log', httpUrl), {
    method: 'POST',
    headers: {
      'content-type': 'application/json',
      // Told again after an answer that got lost, an entry counts once.
      'idempotency-key': `demo:${time}:${gun}:${part}:${action}`,
    },
    body: JSON.stringify({ time: new Date(time).toISOString(), gun, part, action, found, note }),
    signal,
  });
  if (!answer.ok)
    throw new AppError('INTERNAL', `the service answered ${answer.status} to a log entry: ${await answer.text()}`);
}

/** Time of the newest reading that the service has, epoch ms; none: -Infinity. */
async function newestReading(httpUrl: string, signal: AbortSignal): Promise<number> {
  const answer = await fetch(new URL('/api/guns', httpUrl), { signal });
  if (!answer.ok) throw new AppError('INTERNAL', `the service answered ${answer.status} to a question for its guns`);
  const guns = z.array(GunCondition).parse(await answer.json());
  return Math.max(...guns.map(({ asOf }) => (asOf === null ? Number.NEGATIVE_INFINITY : Date.parse(asOf))));
}

/**
 * The guns of the demo beside a running service: publishes their history and then their present over MQTT, and writes
 * their maintenance through the service's own door. What a service with an older folder has already is not told again.
 *
 * @param task.now the clock, epoch ms
 * @param task.onSay takes a sentence for people
 * @throws {AppError} USAGE when the broker cannot be used, INTERNAL when the service refuses a log entry
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
  let live = false;
  try {
    await publishDemo({
      url: task.mqttUrl,
      now: task.now,
      signal,
      since: await newestReading(task.httpUrl, signal),
      ...(task.seed === undefined ? {} : { seed: task.seed }),
      onLog: async (entries) => {
        for (const entry of entries) await tellLog(task.httpUrl, entry, signal);
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
