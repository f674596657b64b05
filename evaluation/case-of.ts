import type { EvaluationCase, FaultTruth, LifeTruth, Replay } from '../analyzer/index.ts';
import type { Truth } from '../simulators/index.ts';

/** Puts a hall's truth beside what was found there, in the shape that is scored. */
export function caseOf(truth: Truth, replay: Replay): EvaluationCase {
  return {
    scenario: truth.scenario,
    seed: truth.seed,
    start: Date.parse(truth.start),
    end: Date.parse(truth.end),
    guns: truth.guns.map((gun) => {
      const clock = replay.clocks.get(gun.id) ?? { ends: new Float64Array(0), hours: new Float64Array(0) };
      return {
        id: gun.id,
        channels: gun.channels,
        output: gun.output,
        sprayHours: gun.sprayHours,
        lives: gun.lives.map((life) => lifeOf(gun, life, clock.ends)),
        clock,
      };
    }),
    faults: truth.events.map(faultOf),
    traps: truth.traps.map(({ kind, guns, start, end }) => ({
      kind,
      guns,
      start: Date.parse(start),
      end: Date.parse(end),
    })),
    findings: replay.findings,
    snapshots: replay.snapshots,
  };
}

function lifeOf(
  gun: Truth['guns'][number],
  life: Truth['guns'][number]['lives'][number],
  ends: Float64Array,
): LifeTruth {
  return {
    gun: gun.id,
    origin: life.startLogged ? 'logged' : life.fittedAtStart ? 'fitted-at-start' : 'unlogged',
    start: Date.parse(life.start),
    end: timeOrNull(life.end),
    wearLimit: gun.wearLimit,
    curve: withRests(
      life.curve.map(({ time, ...state }) => ({ time: Date.parse(time), ...state })),
      ends,
    ),
    reached70: life.reached.some(({ share, time }) => share === 0.7 && time !== null),
    limitSprayHours: life.limitSprayHours,
  };
}

/**
 * The truth is told at shift ends, and is taken as straight between them. Nothing wears while nobody sprays: so each point is said again where
 * spraying goes on after it, else a night or a weekend would carry an insert most of the way to the next evening.
 *
 * @param ends of the gun's runs, epoch ms, ascending
 */
function withRests(curve: LifeTruth['curve'], ends: Float64Array): LifeTruth['curve'] {
  let run = 0;
  return curve.flatMap((point, place) => {
    while (run < ends.length && ends[run]! <= point.time) run++;
    const next = curve[place + 1];
    const resumed = ends[run];
    if (next === undefined || resumed === undefined || resumed >= next.time) return [point];
    return [point, { ...point, time: resumed }];
  });
}

function faultOf(event: Truth['events'][number]): FaultTruth {
  return {
    id: event.id,
    cause: event.cause,
    guns: event.guns,
    shape: event.shape,
    onset: Date.parse(event.onset),
    end: timeOrNull(event.end),
    cured: event.endedBy === event.cause,
    size: event.size,
    reached70: timeOrNull(event.reached70),
    sprayHours: event.sprayHours,
  };
}

function timeOrNull(time: string | null): number | null {
  return time === null ? null : Date.parse(time);
}
