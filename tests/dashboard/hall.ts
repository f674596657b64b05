import type { GunView, Job } from '../../analyzer/index.ts';
import { type Finding, type LogEntry, Plant } from '../../collector/contract/index.ts';
import type { DashboardSources, LatestReadings, RecordedEntry } from '../../dashboard/server/index.ts';
import {
  conditionOf,
  FILTER_JOB,
  findingOf,
  GUN_NAMES,
  gunId,
  INSERT_JOB,
  NOON,
  SEAL_JOB,
  wellView,
} from './hall-guns.ts';
import { hallUpkeep } from './hall-upkeep.ts';

export interface HallOptions {
  /** Epoch ms. */
  readonly now?: () => number;
  readonly names?: readonly string[];
  readonly units?: 'metric' | 'us';
  readonly jobs?: readonly Job[];
  /** True: no station has sent anything yet. */
  readonly unread?: boolean;
  /** Changes to the guns' views; null for a gun that has none. */
  readonly views?: (view: GunView, index: number) => GunView | null;
}

/** Sources of an invented hall in memory, with handles to make things happen. */
export interface Hall {
  readonly sources: DashboardSources;
  /** A reading of this station arrives now. */
  read(station: string, values?: LatestReadings['values'], intervalMs?: number): void;
  readAll(): void;
  setJobs(jobs: readonly Job[]): void;
  setTrouble(sentence: string | null): void;
  /** The next log entry fails with this. */
  failNextLog(error: Error): void;
  readonly listeners: () => number;
}

/** An invented hall: by default eight guns with three open findings, all of them read once. */
export function hall(options: HallOptions = {}): Hall {
  const now = options.now ?? (() => NOON);
  const names = options.names ?? GUN_NAMES;
  const plant = Plant.parse({
    site: { id: 'hall-2', name: 'Hall 2', timezone: 'Europe/Vienna', units: options.units ?? 'metric' },
    guns: names.map((name, index) => ({ id: gunId(index), name })),
    air: [{ id: 'dryer-out', name: 'Dryer outlet' }],
  });
  let jobs = options.jobs ?? [INSERT_JOB, SEAL_JOB, FILTER_JOB];
  let trouble: string | null = null;
  let failure: Error | null = null;
  const listeners = new Set<() => void>();
  const latest = new Map<string, LatestReadings>();
  const log: RecordedEntry[] = [];

  const findings = (): Finding[] => jobs.map(findingOf).sort((a, b) => b.raised.localeCompare(a.raised));
  const views = (): GunView[] =>
    names.flatMap((name, index) => {
      const job = jobs.find(({ gun }) => gun === gunId(index));
      const well = wellView(index, name, [0.59, 0.31, 0.08, 0.44, 0.52, 0.17, 0.36, 0.27][index % 8] as number);
      const view = job ? { ...well, state: job.category } : well;
      return options.views ? [options.views(view, index)].filter((kept) => kept !== null) : [view];
    });
  const changed = (): void => {
    for (const listener of listeners) listener();
  };
  const read: Hall['read'] = (station, values, intervalMs = 1000) => {
    const time = now();
    const usual: LatestReadings['values'] = {
      'conveying/flow': { time, value: 3.31 },
      'conveying/pressure': { time, value: 1.92 },
      'powder/output': { time, value: 178 },
      trigger: { time, value: true },
    };
    latest.set(station, { station, time, receivedAt: time, intervalMs, values: values ?? usual });
    changed();
  };

  const sources: DashboardSources = {
    plant,
    upkeep: hallUpkeep({ plant, jobs: () => jobs, now, changed }),
    conditions: () =>
      views().map((view) =>
        conditionOf(
          view,
          findings().filter(({ gun }) => gun === view.id),
        ),
      ),
    views,
    jobs: () => jobs,
    findings: ({ open, limit, beforeMs }) =>
      findings()
        .filter(
          ({ cleared, raised }) => (!open || cleared === null) && (beforeMs === null || Date.parse(raised) < beforeMs),
        )
        .slice(0, limit),
    latest: (station) => latest.get(station) ?? null,
    online: (station) => (latest.has(station) ? true : null),
    log: ({ gun, limit }) =>
      log
        .filter((entry) => gun === null || entry.gun === gun)
        .sort((a, b) => b.time - a.time || b.recordedAt - a.recordedAt)
        .slice(0, limit),
    async addLog(entry: LogEntry) {
      if (failure) {
        const thrown = failure;
        failure = null;
        throw thrown;
      }
      const recorded = { ...entry, id: String(log.length + 1), recordedAt: now() };
      log.push(recorded);
      changed();
      return recorded;
    },
    quarantine: ({ limit }) =>
      [
        {
          id: '1',
          time: now(),
          topic: 'airlines/hall-3/gun-99',
          station: 'gun-99',
          reason: 'unknown station',
          detail: 'gun-99 is not in the plant file',
          payload: '[]',
          payloadBytes: 2,
        },
      ].slice(0, limit),
    counters: () => [
      { name: 'readings_total', help: 'Readings committed', kind: 'counter', labels: { result: 'added' }, value: 1200 },
      {
        name: 'readings_total',
        help: 'Readings committed',
        kind: 'counter',
        labels: { result: 'duplicate' },
        value: 7,
      },
      { name: 'store_bytes', help: 'Size of the store', kind: 'gauge', labels: {}, value: 81_920 },
    ],
    notReady: () => trouble,
    onChange(listener) {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
  };
  const made: Hall = {
    sources,
    read,
    readAll() {
      for (const { id } of plant.guns) read(id);
    },
    setJobs(next) {
      jobs = next;
      changed();
    },
    setTrouble(sentence) {
      trouble = sentence;
      changed();
    },
    failNextLog(error) {
      failure = error;
    },
    listeners: () => listeners.size,
  };
  if (!options.unread) made.readAll();
  return made;
}
