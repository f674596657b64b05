import type { MessagePort } from 'node:worker_threads';
import type { LiveAnalyzer } from './live-analyzer.ts';
import type { LiveNews, LiveOrder } from './live-messages.ts';

/** How often what a restart needs is written down, and new log entries of other programs are looked for, ms. Source: own choice, because a restart
 * then repeats seconds, and people who log work look up at once. */
const FLUSH_MS = 5000;
/** Rest between two steps of writing down, so that commits of readings get in between, ms. Source: own choice. */
const FLUSH_REST_MS = 25;
const LOOK_MS = 1000;

/**
 * Runs an analyzer on the event loop of its thread: a slice of work, then whatever the main thread said, and so on.
 * A fault ends the thread: the main thread learns of it by the worker's `error` event.
 */
export function driveLive<State>(analyzer: LiveAnalyzer<State>, port: MessagePort, close: () => void): void {
  const tell = (news: LiveNews): void => port.postMessage(news);
  let waiting: NodeJS.Timeout | null = null;
  let queued = false;
  let stopped = false;
  const settling: number[] = [];

  const turn = (): void => {
    queued = false;
    if (stopped) return;
    const result = analyzer.work();
    if (typeof result === 'object') tell({ kind: 'update', update: result.update });
    if (analyzer.settled) for (const id of settling.splice(0)) tell({ kind: 'settled', id });
    if (result === 'busy' || typeof result === 'object') soon();
    else if (result < Number.POSITIVE_INFINITY) {
      waiting ??= setTimeout(() => {
        waiting = null;
        soon();
      }, result);
    }
  };
  const soon = (): void => {
    if (queued || stopped) return;
    queued = true;
    setImmediate(turn);
  };
  const looking = setInterval(() => {
    if (analyzer.recordsChanged()) soon();
  }, LOOK_MS);
  let flushing: NodeJS.Timeout;
  const flush = (steps: Iterator<() => void>): void => {
    const next = steps.next();
    if (!next.done) next.value();
    flushing = setTimeout(() => flush(next.done ? analyzer.flushing() : steps), next.done ? FLUSH_MS : FLUSH_REST_MS);
  };
  flushing = setTimeout(() => flush(analyzer.flushing()), FLUSH_MS);

  port.on('message', (order: LiveOrder) => {
    if (stopped) return;
    switch (order.kind) {
      case 'committed':
        analyzer.committed(order.stations, order.isBurst);
        break;
      case 'records-changed':
        analyzer.recordsChanged();
        break;
      case 'clocks':
        analyzer.clocksReported(order.reports);
        break;
      case 'settle':
        analyzer.recordsChanged();
        settling.push(order.id);
        break;
      case 'stop':
        stopped = true;
        clearInterval(looking);
        clearTimeout(flushing);
        if (waiting !== null) clearTimeout(waiting);
        analyzer.flush();
        close();
        tell({ kind: 'stopped' });
        port.close();
        return;
    }
    soon();
  });
  analyzer.resume();
  // At once: a service that is killed soon after each of its starts would have more to do with every one.
  analyzer.flush();
  tell({ kind: 'ready' });
  soon();
}
