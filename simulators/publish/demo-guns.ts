import { AppError } from '../../collector/contract/errors.ts';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { publishDemo } from './demo.ts';

/**
 * The demo's hall as outsiders see it: nodes that publish over MQTT and people who log their work over HTTP.
 *
 * @param task.httpUrl where `POST /api/log` is, without a slash at its end
 * @param task.onSay told in a sentence how far it is
 * @throws {AppError} USAGE when broker or API refuse
 */
export async function runDemoGuns(task: {
  readonly mqttUrl: string;
  readonly httpUrl: string;
  readonly now: () => number;
  readonly signal: AbortSignal;
  readonly onSay: (sentence: string) => void;
}): Promise<void> {
  const { mqttUrl, httpUrl, now, signal, onSay } = task;
  let live = false;
  await publishDemo({
    url: mqttUrl,
    now,
    signal,
    onLog: async (entries) => {
      for (const entry of entries) await postEntry(httpUrl, entry, signal);
    },
    onProgress: (progress) => {
      if (live || !progress.live) return;
      live = true;
      onSay('eight weeks of history are sent; the guns go on live');
    },
    onTrouble: onSay,
  });
}

async function postEntry(httpUrl: string, entry: LogEntry, signal: AbortSignal): Promise<void> {
  const { time, ...fields } = entry;
  const answer = await fetch(`${httpUrl}/api/log`, {
    method: 'POST',
    headers: {
      'Content-Type': 'application/json',
      // A demo that is started again on the same folder tells the same story.
      'Idempotency-Key': `demo:${time}:${entry.gun}:${entry.part}:${entry.action}`,
    },
    body: JSON.stringify({ ...fields, time: new Date(time).toISOString() }),
    signal,
  });
  if (!answer.ok)
    throw new AppError('USAGE', `the log entry of ${entry.gun} was refused: ${answer.status} ${await answer.text()}`);
}
