import { setTimeout as wait } from 'node:timers/promises';
import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../contract/errors.ts';
import { openStore } from '../store/embedded.ts';
import { Delivery } from './deliver.ts';
import type { FromHistorian, HistorianStart, ToHistorian } from './historian-messages.ts';
import { targetOf } from './target-of.ts';

/** How often fresh readings are looked for, ms. Source: own choice: a second is soon enough for what lasts years. */
const LOOK_MS = 1000;
/** First and longest pause after a fault, ms. Source: own choice: it doubles, so that a store that comes back is not stormed. */
const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 60_000;

if (!parentPort) throw new AppError('INTERNAL', 'historian-thread is the entry of a worker thread');
const port = parentPort;
const { dir, site, config } = workerData as HistorianStart;
// Its writes are marks of what was delivered: the last of them may be lost, then that goes out again.
const store = openStore(dir, { durable: false, settledOnly: true, leaveOutDamaged: true });
const target = targetOf(config);
const delivery = new Delivery(store, target, site);
const stopping = new AbortController();
let caughtUpAt: number | null = null;
let fault: string | null = null;
let toldAt = 0;

port.on('message', (message: ToHistorian) => {
  if (message.kind === 'stop') stopping.abort();
});

function tell(force: boolean): void {
  if (!force && Date.now() - toldAt < LOOK_MS) return;
  toldAt = Date.now();
  const { points, refused, refusal } = delivery.delivered;
  const state = { delivered: points, refused, refusal, waiting: store.historian.waiting(), caughtUpAt, fault };
  port.postMessage({ kind: 'state', state } satisfies FromHistorian);
}

async function pause(ms: number): Promise<void> {
  // Whoever stops it ends the pause.
  await wait(ms, undefined, { signal: stopping.signal }).catch(() => undefined);
}

/** Passwords must not get into logs by way of a library's message. */
function withoutSecrets(message: string): string {
  return [config.password, config.token, encodeURIComponent(config.password)]
    .filter((secret) => secret !== '')
    .reduce((text, secret) => text.replaceAll(secret, '(hidden)'), message);
}

let pauseMs = 0;
let prepared = false;
while (!stopping.signal.aborted) {
  try {
    if (!prepared) await target.prepare();
    prepared = true;
    while (!stopping.signal.aborted && (await delivery.step())) {
      fault = null;
      pauseMs = 0;
      tell(false);
    }
    if (!stopping.signal.aborted) {
      caughtUpAt = Date.now();
      fault = null;
      tell(false);
      await pause(LOOK_MS);
    }
  } catch (error) {
    prepared = false;
    fault = withoutSecrets(error instanceof Error ? error.message : String(error)).slice(0, 500);
    pauseMs = Math.min(LONGEST_PAUSE_MS, pauseMs === 0 ? FIRST_PAUSE_MS : 2 * pauseMs);
    tell(true);
    await pause(pauseMs);
  }
}
store.close();
port.close();
