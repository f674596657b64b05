import { gunConditions, type LiveUpdate, startLive } from '../../analyzer/index.ts';
import type { Plant } from '../../collector/contract/index.ts';
import type { Collector, Log } from '../../collector/index.ts';
import { ConditionPublisher } from './condition-publisher.ts';
import { ViewsKeeper } from './kept-views.ts';
import { lastingLive } from './lasting-live.ts';
import type { StopSteps } from './stop-steps.ts';
import { tellEach } from './tell-each.ts';

/** What the live analysis says of the hall, and who hears of it. */
export interface HallNow {
  /** The newest that it said. */
  update(): LiveUpdate;
  onUpdate(listener: (update: LiveUpdate) => void): void;
  /** Tells the analysis that log, settings or a word on a baseline are new. */
  logChanged(): void;
  /** Tells whoever watches the hall to look again. */
  changed(): void;
  /** @returns takes the listener off again */
  onChange(listener: () => void): () => void;
  /** Rejects when the analysis dies by itself; resolves after it was stopped. */
  readonly ended: Promise<void>;
}

interface HallParts {
  readonly plant: Plant;
  readonly dir: string;
  readonly collector: Collector;
  /** Epoch ms. */
  readonly now: () => number;
  readonly log: Log;
}

/** Starts the live analysis behind a collector: what it says goes to the store, to the broker as conditions, and to listeners. */
export async function startHallNow(parts: HallParts, stops: StopSteps): Promise<HallNow> {
  const { plant, dir, collector, now, log } = parts;
  const live = await lastingLive(() => startLive({ dir, plant }), log);
  stops.add(() => live.stop());
  const watching = new Set<() => void>();
  const changed = (): void => tellEach(watching, undefined, log);
  let update: LiveUpdate = { asOf: null, settled: false, views: [], jobs: [], findings: [] };
  const conditions = new ConditionPublisher(
    () => gunConditions(plant, update, (gun) => collector.latest(gun)?.newestTime ?? null, now()),
    (gun, condition) => collector.publishCondition(gun, condition),
    log,
  );
  const views = new ViewsKeeper(collector.store, log);
  stops.add(() => views.stop());
  live.onUpdate((next) => {
    update = next;
    views.update(next.views);
    void conditions.publish();
    changed();
  });
  collector.on('committed', (stations) => {
    live.notify(stations);
    changed();
  });
  collector.on('clock', (reports) => live.clocksReported(reports));
  collector.on('online', changed);
  conditions.start();
  // Before the collector, which else would be given conditions after its end.
  stops.add(() => conditions.stop());
  return {
    update: () => update,
    onUpdate: (listener) => live.onUpdate(listener),
    logChanged: () => live.logChanged(),
    changed,
    onChange: (listener) => {
      watching.add(listener);
      return () => void watching.delete(listener);
    },
    ended: live.ended,
  };
}
