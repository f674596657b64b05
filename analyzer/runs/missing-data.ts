import type { Plant } from '../../collector/contract/index.ts';
import type { Track } from '../site.ts';

/** Silence that is worth a finding while others of the site report, ms. Source: own choice, because nodes report at least
 * every few minutes, and half an hour is soon enough to look at one. */
export const MISSING_MS = 30 * 60_000;

/** Guns that fall silent within this time of each other were switched off together, ms. Source: own choice. */
const TOGETHER_MS = 15 * 60_000;

/** Of so many guns, this share going together is the hall going: a straggler's clock may be wrong. Source: own choice. */
const MANY_GUNS = 4;
const MOST_SHARE = 0.75;

/** A station that sent nothing for 30 minutes during which another of its site reported. Times are epoch ms. */
export interface MissingSpan {
  readonly station: string;
  /** Its last reading, or the time when the hall came back without it. */
  readonly onset: number;
  /** When the 30 minutes were full. */
  readonly raised: number;
  /** Its next reading; null while it is silent. */
  readonly cleared: number | null;
}

/** How far the comings and goings of a site were gone through, so that the rest can be gone through without what came before. Plain data. */
export interface MissingState {
  /** Those before this time are in, epoch ms. */
  readonly before: number;
  readonly hallOff: boolean;
  /** Of the stations that were ever seen. */
  readonly stations: readonly Presence[];
}

interface Presence {
  readonly station: string;
  readonly isGun: boolean;
  present: boolean;
  /** Ever seen: a station that never reported cannot fall silent. */
  seen: boolean;
  silentSince: number;
  onset: number;
  /** Time within this silence during which others reported, ms. */
  countedMs: number;
  raised: number | null;
}

interface Change {
  readonly time: number;
  readonly place: number;
  readonly comes: boolean;
}

/** A walk through the comings and goings of a site that stands at a time. */
interface Walk {
  readonly stations: Presence[];
  readonly spans: MissingSpan[];
  now: number;
  hallOff: boolean;
}

/**
 * Finds the stations that are missing while others report. Silence of all counts for nobody; and when all guns of
 * a site with two or more stop together the hall was switched off: that is silence of all, even if plant air goes
 * on, and the guns are expected back when the first of them is, with three or more guns when the second is. A plant-air point that went with them is
 * switched off too: a gun that reports on has a clock that is ahead, or works alone.
 *
 * A span is a function of what was read up to its `raised`: of complete tracks take those raised by the time you look
 * from, and call later `cleared` times null.
 *
 * @param since where an earlier walk came to; what was before is then not looked for in the tracks
 * @returns ascending by `raised`; of an earlier walk those that were not over
 */
export function missingSpans(
  plant: Plant,
  tracks: ReadonlyMap<string, Track>,
  since: MissingState | null = null,
): MissingSpan[] {
  const end = Math.max(...[...tracks.values()].map(({ lastTime }) => lastTime));
  const walk = beginWalk(plant, tracks, since);
  for (const change of changesOf(tracks, since?.before ?? 0)) take(walk, change);
  take(walk, { time: end, place: -1, comes: false });
  const { stations, spans } = walk;
  for (const station of stations) if (station.raised !== null) spans.push(spanOf(station, null));
  return spans.sort((left, right) => left.raised - right.raised);
}

/**
 * Goes through the comings and goings before a time.
 *
 * @param before epoch ms, so long ago that all silences that began by then are in the tracks
 */
export function missingUntil(
  plant: Plant,
  tracks: ReadonlyMap<string, Track>,
  before: number,
  since: MissingState | null,
): MissingState {
  const walk = beginWalk(plant, tracks, since);
  for (const change of changesOf(tracks, since?.before ?? 0)) {
    if (change.time >= before) break;
    take(walk, change);
  }
  if (before > walk.now) count(walk.stations, walk.now, before, walk.hallOff);
  return { before, hallOff: walk.hallOff, stations: walk.stations.filter(({ seen }) => seen) };
}

function beginWalk(plant: Plant, tracks: ReadonlyMap<string, Track>, since: MissingState | null): Walk {
  const guns = new Set(plant.guns.map(({ id }) => id));
  const known = new Map(since?.stations.map((one) => [one.station, one]));
  const stations = [...tracks.keys()].map(
    (station): Presence => ({
      station,
      isGun: guns.has(station),
      present: false,
      seen: false,
      silentSince: 0,
      onset: 0,
      countedMs: 0,
      raised: null,
      ...known.get(station),
    }),
  );
  return { stations, spans: [], now: since?.before ?? 0, hallOff: since?.hallOff ?? false };
}

/** Takes in one coming or going; of no station only the time that has passed. */
function take(walk: Walk, { time, place, comes }: Change): void {
  const { stations, spans } = walk;
  if (time > walk.now) count(stations, walk.now, time, walk.hallOff);
  walk.now = time;
  const station = stations[place];
  if (station === undefined) return;
  if (!comes) {
    Object.assign(station, { present: false, silentSince: time, onset: time, countedMs: 0 });
    if (station.isGun) walk.hallOff = walk.hallOff || hallWentOff(stations, time);
    return;
  }
  if (station.raised !== null) spans.push(spanOf(station, time));
  Object.assign(station, { present: true, seen: true, raised: null });
  if (!station.isGun || !walk.hallOff || !hallCameBack(stations)) return;
  walk.hallOff = false;
  const away = stations.filter(({ seen, present, raised }) => seen && !present && raised === null);
  const guns = away.filter(({ isGun }) => isGun);
  for (const other of guns) expectFrom(other, time, lagBehind(other, guns));
  // A point is expected with the guns whose hall it went with.
  for (const other of away) if (!other.isGun && other.countedMs === 0) expectFrom(other, time, 0);
}

function changesOf(tracks: ReadonlyMap<string, Track>, since: number): Change[] {
  return [...tracks.values()]
    .flatMap(presenceChanges)
    .filter(({ time }) => time >= since)
    .sort(byTime);
}

/** Comings and goings of one station: it is there between readings less than 30 minutes apart. */
function presenceChanges(track: Track, place: number): Change[] {
  const changes: Change[] = [{ time: track.firstTime, place, comes: true }];
  for (const fact of track.facts) {
    if (fact.kind !== 'silence' || fact.until === null) continue;
    changes.push({ time: fact.time, place, comes: false }, { time: fact.until, place, comes: true });
  }
  changes.push({ time: track.lastTime, place, comes: false });
  return changes;
}

/** At one instant who comes is there before others go: nobody is alone who is not. */
function byTime(left: Change, right: Change): number {
  return left.time - right.time || Number(right.comes) - Number(left.comes) || left.place - right.place;
}

/** Adds the time between two changes to the silence of everyone who was missing in it. */
function count(stations: readonly Presence[], from: number, to: number, hallOff: boolean): void {
  const guns = stations.filter((station) => station.present && station.isGun).length;
  const points = stations.filter((station) => station.present && !station.isGun).length;
  for (const station of stations) {
    if (station.present || !station.seen || station.raised !== null) continue;
    const off = hallOff && (station.isGun || wentWithHall(station, stations));
    const beside = !station.isGun && off ? points : off ? 0 : guns + points;
    if (beside === 0) continue;
    const missing = MISSING_MS - station.countedMs;
    station.countedMs += to - from;
    if (station.countedMs >= MISSING_MS) station.raised = from + missing;
  }
}

/**
 * Called when a gun has fallen silent: true when the hall was switched off, because no gun is left and they went
 * together, or because most went together and few are left. A last gun whose fellows were all missing before cannot be
 * told from one that was switched off, and gets the benefit of the doubt.
 */
function hallWentOff(stations: readonly Presence[], now: number): boolean {
  const guns = stations.filter(({ isGun, seen, raised }) => isGun && seen && raised === null);
  const silent = guns.filter(({ present }) => !present).map(({ silentSince }) => silentSince);
  const wentWith = (time: number): number => silent.filter((one) => one <= time && time - one <= TOGETHER_MS).length;
  if (guns.length >= MANY_GUNS && wentWith(now) >= MOST_SHARE * guns.length) return true;
  if (silent.length < guns.length) return false;
  const ofSite = stations.filter(({ isGun, seen }) => isGun && seen).length;
  return ofSite >= 2 && (guns.length === 1 || Math.max(...silent.map(wentWith)) >= 2);
}

/** True of a plant-air point that fell silent when most guns did. */
function wentWithHall({ silentSince }: Presence, stations: readonly Presence[]): boolean {
  const silent = stations.filter(({ isGun, seen, present }) => isGun && seen && !present);
  const near = silent.filter((gun) => Math.abs(gun.silentSince - silentSince) <= TOGETHER_MS);
  return 2 * near.length > silent.length;
}

/** One gun of several may work alone, or its clock be ahead: the hall is back with the second. */
function hallCameBack(stations: readonly Presence[]): boolean {
  const guns = stations.filter(({ isGun, seen }) => isGun && seen);
  return guns.filter(({ present }) => present).length >= Math.min(2, guns.length - 1);
}

/** The hall is back: its guns are expected within 30 minutes, one that went later than the others so much later. */
function expectFrom(station: Presence, time: number, lagMs: number): void {
  station.onset = time + lagMs;
  station.countedMs = -lagMs;
}

/** How much later than most a gun went: its clock may be ahead. */
function lagBehind(station: Presence, guns: readonly Presence[]): number {
  const times = guns.map(({ silentSince }) => silentSince).sort((left, right) => left - right);
  return Math.max(0, station.silentSince - times[(times.length - 1) >> 1]!);
}

function spanOf(station: Presence, cleared: number | null): MissingSpan {
  return { station: station.station, onset: station.onset, raised: station.raised!, cleared };
}
