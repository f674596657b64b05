import { AppError } from '../../collector/contract/errors.ts';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { publishDemo } from './demo.ts';

/** Tells a running service what was done to a gun, as `POST /api/log` takes it. */
async function tellLog(httpUrl: string, entry: LogEntry, signal: AbortSignal): Promise<void> {
  const { time, gun, part, action, found, note } = entry;
  const answer = await fetch(new URL('/api/log', httpUrl), {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ time: new Date(time).toISOString(), gun, part, action, found, note }),
    signal,
  });
  if (!answer.ok)
    throw new AppError('INTERNAL', `the service answered ${answer.status} to a log entry: ${await answer.text()}`);
}

/**
 * The guns of the demo beside a running service: publishes their history and then their present over MQTT, and writes
 * their maintenance through the service's own door.
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
