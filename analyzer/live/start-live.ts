import { AppError, type Plant } from '../../collector/contract/index.ts';
import { type ClockReport, type StationCommit, startThread } from '../../collector/index.ts';
import type { LiveNews, LiveOrder, LiveStart } from './live-messages.ts';
import type { LiveUpdate } from './live-update.ts';

export interface LiveStartOptions {
  /** Data folder with a store that a writer has open or has made. */
  readonly dir: string;
  readonly plant: Plant;
}

/** The live analysis, seen from the main thread. */
export interface Live {
  /** Readings have become durable. Cheap: call it after every commit. */
  notify(stations: readonly StationCommit[]): void;
  /** The log or the settings have a new entry. Entries of other programs are noticed within a second or so. */
  logChanged(): void;
  /** Readings came whose time is ahead of the receiver's clock. */
  clocksReported(reports: readonly ClockReport[]): void;
  /** The newest update; null before the first. */
  readonly latest: LiveUpdate | null;
  /** Calls `listener` on every update from now on; the result takes it off again. */
  onUpdate(listener: (update: LiveUpdate) => void): () => void;
  /** Resolves once all that was told before is in the newest update. */
  settled(): Promise<void>;
  /** Writes down what a restart needs and ends the thread. May be called twice. */
  stop(): Promise<void>;
  /** Rejects when the thread dies by itself; resolves after `stop()`. */
  readonly ended: Promise<void>;
}

/**
 * How long commits are gathered before the analyzer hears of them, ms: the first after a rest soon, those behind it
 * together, because each look at a station has its price. Source: own choice: less than stage two waits anyway.
 */
const GATHER_MS = 50;
const REST_MS = 500;
/**
 * More readings that are gathered in that time than stations send live. Source: own choice: half as many again as two thousand stations of seven
 * channels send once a second.
 */
const BURST_READINGS = 10_000;

/**
 * Starts the live analysis in a thread of its own. Resolves when it has found its place in the store.
 *
 * @throws {AppError} STORE_UNUSABLE, STORE_LOCKED, DISK_FULL
 */
export async function startLive(options: LiveStartOptions): Promise<Live> {
  const worker = startThread(new URL('./live-thread', import.meta.url), {
    workerData: { dir: options.dir, plant: options.plant } satisfies LiveStart,
  });
  const listeners = new Set<(update: LiveUpdate) => void>();
  const waiting = new Map<number, { resolve: () => void; reject: (error: Error) => void }>();
  const gathered = new Map<string, { -readonly [Key in keyof StationCommit]: StationCommit[Key] }>();
  let gathering: NodeJS.Timeout | null = null;
  let latest: LiveUpdate | null = null;
  let stopping = false;
  let fault: Error | null = null;
  let nextId = 0;
  let ready: () => void;
  const isReady = new Promise<void>((resolve) => {
    ready = resolve;
  });
  const order = (message: LiveOrder): void => worker.postMessage(message);
  const hand = (): void => {
    if (gathering !== null) clearTimeout(gathering);
    gathering = null;
    if (gathered.size === 0) return;
    const stations = [...gathered.values()];
    const readings = stations.reduce((sum, one) => sum + one.readings, 0);
    order({ kind: 'committed', stations, isBurst: readings >= BURST_READINGS });
    gathered.clear();
    if (!stopping) gathering = setTimeout(hand, REST_MS);
  };

  worker.on('message', (news: LiveNews) => {
    if (news.kind === 'ready') ready();
    else if (news.kind === 'update') {
      latest = news.update;
      for (const listener of listeners) listener(news.update);
    } else if (news.kind === 'settled') {
      waiting.get(news.id)?.resolve();
      waiting.delete(news.id);
    }
  });
  const ended = new Promise<void>((resolve, reject) => {
    const fail = (error: Error): void => {
      fault = error;
      for (const { reject: refuse } of waiting.values()) refuse(error);
      waiting.clear();
      reject(error);
    };
    worker.on('error', (error) => fail(asAppError(error)));
    worker.on('exit', (code) => {
      if (stopping) resolve();
      else fail(fault ?? new AppError('INTERNAL', `the analyzer's thread ended by itself with code ${code}`));
    });
  });
  ended.catch(() => undefined);
  await Promise.race([isReady, ended]);

  return {
    notify: (stations) => {
      for (const { station, minTime, maxTime, readings } of stations) {
        const known = gathered.get(station);
        if (known === undefined) gathered.set(station, { station, minTime, maxTime, readings });
        else {
          known.minTime = Math.min(known.minTime, minTime);
          known.maxTime = Math.max(known.maxTime, maxTime);
          known.readings += readings;
        }
      }
      gathering ??= setTimeout(hand, GATHER_MS);
    },
    logChanged: () => order({ kind: 'records-changed' }),
    clocksReported: (reports) => order({ kind: 'clocks', reports }),
    get latest() {
      return latest;
    },
    onUpdate: (listener) => {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    settled: () => {
      if (fault !== null) return Promise.reject(fault);
      hand();
      const id = nextId++;
      const answer = new Promise<void>((resolve, reject) => waiting.set(id, { resolve, reject }));
      order({ kind: 'settle', id });
      return answer;
    },
    stop: async () => {
      if (!stopping) {
        stopping = true;
        hand();
        order({ kind: 'stop' });
      }
      await ended;
    },
    ended,
  };
}

/** Errors lose their class on the way out of a thread; their code says what they were. */
function asAppError(error: unknown): Error {
  // An error of a native module comes out as a plain object.
  const { code, message = String(error) } = error as { code?: unknown; message?: string };
  if (code === 'STORE_UNUSABLE' || code === 'STORE_LOCKED' || code === 'DISK_FULL')
    return new AppError(code, message, { cause: error });
  const what = typeof code === 'string' ? `${code}: ${message}` : message;
  return new AppError('INTERNAL', `the analyzer's thread failed: ${what}`, { cause: error });
}
