import { setTimeout as sleep } from 'node:timers/promises';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import type { ShopDay } from '../calendar/shop-day.ts';
import type { Hall } from '../scenarios/hall.ts';
import { Feed } from './feed.ts';
import { LogFeed } from './log-feed.ts';
import { NodeClient } from './node-client.ts';
import { SenmlPacks } from './senml-pack.ts';

/** How to publish a hall. */
export interface PublishTask {
  readonly hall: Hall;
  /** The days to publish, in order; may be endless. */
  readonly days: Iterable<ShopDay>;
  readonly url: string;
  /** First level of the topics. */
  readonly root: string;
  /** The clock, epoch ms. */
  readonly now: () => number;
  /** Times as fast as real time for what lies in the past; Infinity: as fast as it is acknowledged. */
  readonly speed: number;
  readonly signal: AbortSignal;
  /** Readings and maintenance before are not told, epoch ms; absent: all are. */
  readonly since?: number | undefined;
  /** Told after each step: how far in event time, and whether the past is done. */
  readonly onProgress?: ((progress: { reachedMs: number; live: boolean; readings: number }) => void) | undefined;
  /** Told of connections that were lost and are being mended. */
  readonly onTrouble?: ((message: string) => void) | undefined;
  /** Asked now and then, once live, for work that others have done on the guns. */
  readonly workDone?: (() => Promise<readonly LogEntry[]>) | undefined;
  /** Told of a day's maintenance before its readings go out. */
  readonly onLog?: ((entries: readonly LogEntry[]) => Promise<void>) | undefined;
}

/** Event time in one step of the fast replay, ms: packs of a few hours. Source: own choice, as nodes send after a loss. */
const STEP_MS = 4 * 3_600_000;
/** How often others are asked for work that they did, ms. Source: own choice, because a person waits for it. */
const ASK_MS = 3000;
/** How often live reports are looked at, ms. Source: own choice: a tenth of the shortest interval. */
const TICK_MS = 100;

interface Node {
  readonly client: NodeClient;
  readonly packs: SenmlPacks;
}

/** Connects a node for each station of a hall. */
async function connectNodes(task: PublishTask): Promise<Map<string, Node>> {
  const { hall, url, root } = task;
  const stations = [
    ...hall.guns.map(({ spec }) => ({ id: spec.id, holds: spec.output === 'setpoint' })),
    ...hall.points.map(({ id }) => ({ id, holds: false })),
  ];
  const nodes = new Map<string, Node>();
  for (const [index, { id, holds }] of stations.entries()) {
    const client = await NodeClient.connect(
      url,
      `${root}/${hall.setting.siteId}/${id}`,
      `node-${id}`,
      task.signal,
      (message) => task.onTrouble?.(`${id}: ${message}`),
    );
    const mac = `02${index.toString(16).padStart(10, '0')}`;
    nodes.set(id, { client, packs: new SenmlPacks(`urn:dev:mac:${mac}`, holds) });
  }
  return nodes;
}

/**
 * Publishes a hall: its past as fast as asked, then in real time until the days end or the signal comes.
 * Past reports go in packs of hours, live ones a pack each.
 *
 * @throws {AppError} PORT_UNUSABLE when the broker cannot be used
 */
export async function publishHall(task: PublishTask): Promise<void> {
  const { now, speed, signal } = task;
  const feed = new Feed(task.hall, task.days);
  const since = task.since ?? Number.NEGATIVE_INFINITY;
  const log = new LogFeed(task.hall);
  const nodes = await connectNodes(task);
  const begun = now();
  const first = task.hall.work.span.start - 3_600_000;
  let reached = first;
  let readings = 0;
  let askAt = 0;
  try {
    while (!signal.aborted && !feed.ended) {
      const clock = now();
      const wanted = Number.isFinite(speed) ? first + (clock - begun) * speed : reached + STEP_MS;
      const live = wanted >= clock;
      reached = Math.max(reached, Math.min(wanted, clock));
      if (live && task.workDone && clock >= askAt) {
        askAt = clock + ASK_MS;
        doWork(task.hall, await task.workDone());
      }
      const due = feed.take(reached);
      const entries = log.take(reached).filter(({ time }) => time > since);
      if (entries.length > 0) await task.onLog?.(entries);
      if (reached <= since) continue;
      for (const { station, sent, places } of due) {
        const node = nodes.get(station)!;
        readings += places.length;
        if (places.length === 1) await node.client.send(node.packs.single(sent, places[0]!));
        else {
          const pack = node.packs.bulk(sent, places);
          if (pack) await node.client.send(pack);
        }
      }
      task.onProgress?.({ reachedMs: reached, live, readings });
      if (live || Number.isFinite(speed)) await sleep(TICK_MS, undefined, { signal }).catch(ignoreAbort);
    }
    for (const { client } of nodes.values()) await client.settle();
  } finally {
    // At once: each may have to wait for its answer.
    await Promise.all(Array.from(nodes.values(), ({ client }) => client.stop()));
  }
}

/** Lets the guns feel what was done to them. */
function doWork(hall: Hall, entries: readonly LogEntry[]): void {
  for (const entry of entries) {
    const gun = hall.guns.find(({ spec }) => spec.id === entry.gun);
    gun?.maintenance.obey(gun.state, entry);
  }
}

function ignoreAbort(error: unknown): void {
  if (!(error instanceof Error && error.name === 'AbortError')) throw error;
}
