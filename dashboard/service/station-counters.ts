import { type Collector, damagedIn, type StationNow } from '../../collector/index.ts';
import { type Counter, lostAfterMs } from '../server/index.ts';

const STATES = ['spraying', 'idle', 'silent', 'never'] as const;
type State = (typeof STATES)[number];

/** How the stations stand, and how often readings came again, in the names of `/metrics`. */
export function stationCounters(
  collector: Pick<Collector, 'latest' | 'store'>,
  stations: readonly string[],
  now: number,
): Counter[] {
  const known = stations.map((station) => collector.latest(station));
  const states = known.map((station) => stateOf(station, now));
  const gauge = (name: string, help: string, labels: Record<string, string>, value: number): Counter => ({
    name,
    help,
    kind: 'gauge',
    labels,
    value,
  });
  const online = (wanted: boolean | null): number =>
    known.filter((station) => (station?.online ?? null) === wanted).length;
  return [
    ...STATES.map((state) =>
      gauge(
        'stations',
        'Stations of the plant file by what they do',
        { state },
        states.filter((one) => one === state).length,
      ),
    ),
    ...(
      [
        ['true', true],
        ['false', false],
        ['unknown', null],
      ] as const
    ).map(([told, wanted]) =>
      gauge('stations_online', 'Stations by what they, or their wills, said last', { online: told }, online(wanted)),
    ),
    gauge(
      'damaged_spans',
      'What is known to be damaged on the disk: spans of a station, and packs of refusals',
      {},
      damagedIn(collector.store).length,
    ),
    ...collector.store.readings.repeats().flatMap(({ channel, duplicates, conflicts }) =>
      (
        [
          ['duplicate', duplicates],
          ['conflict', conflicts],
        ] as const
      ).map(
        ([kind, value]): Counter => ({
          name: 'readings_repeated_total',
          help: 'Readings that came for a time that had one, the same or another; counted some minutes later',
          kind: 'counter',
          labels: { kind, channel },
          value,
        }),
      ),
    ),
  ];
}

function stateOf(station: StationNow | null, now: number): State {
  if (station === null || station.newestReceivedAt === null) return 'never';
  if (now - station.newestReceivedAt > lostAfterMs(station.reportingIntervalMs)) return 'silent';
  return station.readings.find(({ channel }) => channel === 'trigger')?.value === true ? 'spraying' : 'idle';
}
