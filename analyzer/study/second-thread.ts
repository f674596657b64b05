import { once } from 'node:events';
import { availableParallelism } from 'node:os';
import type { Worker } from 'node:worker_threads';
import type { Settings } from '../../collector/contract/index.ts';
import { startThread } from '../../collector/index.ts';
import type { SiteHistory } from './history.ts';
import type { SecondNews, SecondOrder } from './second-messages.ts';
import { sharedHistory, toShared } from './shared-history.ts';
import type { Span, Study } from './study.ts';

/** Settings that another thread tries. */
export interface AskedOfSecond {
  /** Share of its work that is done, and studies in the order of its settings; null where one is not finished. */
  readonly share: number;
  readonly studies: readonly (Study | null)[];
  readonly isDone: boolean;
  /** Waits until something more is known, or for so many ms. @throws {Error} what ended the thread */
  news(ms: number): Promise<void>;
  cancel(): void;
}

/** Another thread that tries its part of many settings, started when it is first asked. */
export class SecondThread {
  #worker: Worker | null = null;
  /** The history that the thread has. */
  #history: SiteHistory | null = null;
  #asked: Asked | null = null;
  #nextId = 0;

  /** Null on a machine that works on one thing at a time. */
  static where(processors = availableParallelism()): SecondThread | null {
    return processors > 1 ? new SecondThread() : null;
  }

  /** Starts the thread, where it does not run yet. */
  start(): void {
    this.#worker ??= this.#started();
  }

  /** The history as both threads work on it: handed over to the other, where it is not the one that it has. To be kept instead of what was given. */
  handOver(history: SiteHistory): SiteHistory {
    if (this.#history === history) return history;
    const shared = sharedHistory(history);
    this.#tell({ kind: 'history', shared: toShared(shared) });
    this.#history = shared;
    return shared;
  }

  /** Asks for studies of the history that was handed over; what was asked before is given up. */
  ask(settings: readonly Settings[], span: Span): AskedOfSecond {
    this.#asked?.cancel();
    const id = this.#nextId++;
    this.#asked = new Asked(id, settings.length, (order) => this.#tell(order));
    this.#tell({ kind: 'ask', id, settings, span });
    return this.#asked;
  }

  async stop(): Promise<void> {
    const leaving = this.#worker;
    this.#worker = null;
    this.#history = null;
    await leaving?.terminate();
  }

  #tell(order: SecondOrder): void {
    this.start();
    this.#worker!.postMessage(order);
  }

  #started(): Worker {
    const worker = startThread(new URL('./second-thread-entry', import.meta.url));
    worker.on('message', (news: SecondNews) => this.#asked?.take(news));
    worker.on('error', (error) => {
      this.#worker = null;
      this.#history = null;
      this.#asked?.fail(error);
    });
    return worker;
  }
}

class Asked implements AskedOfSecond {
  share = 0;
  readonly studies: (Study | null)[];
  isDone = false;
  readonly #id: number;
  readonly #tell: (order: SecondOrder) => void;
  readonly #told = new EventTarget();
  #error: Error | null = null;

  constructor(id: number, settings: number, tell: (order: SecondOrder) => void) {
    this.#id = id;
    this.#tell = tell;
    this.studies = Array.from({ length: settings }, () => null);
  }

  take(news: SecondNews): void {
    if (news.id !== this.#id) return;
    this.share = news.share;
    for (const [place, study] of news.studies) this.studies[place] = study;
    this.isDone = this.studies.every((study) => study !== null);
    this.#told.dispatchEvent(new Event('news'));
  }

  fail(error: Error): void {
    this.#error = error;
    this.#told.dispatchEvent(new Event('news'));
  }

  async news(ms: number): Promise<void> {
    if (this.#error === null && !this.isDone) {
      const waits = new AbortController();
      const timer = setTimeout(() => waits.abort(), ms);
      await once(this.#told, 'news', { signal: waits.signal }).catch((error: Error) => {
        if (error.name !== 'AbortError') throw error;
      });
      clearTimeout(timer);
    }
    if (this.#error !== null) throw this.#error;
  }

  cancel(): void {
    if (!this.isDone && this.#error === null) this.#tell({ kind: 'cancel', id: this.#id });
  }
}
