import type { Replay } from '../../../analyzer/index.ts';
import { replaySite } from '../../../analyzer/replay/replay-site.ts';
import { type LogEntry, Plant, Settings } from '../../../collector/contract/index.ts';
import { SimulatedReadings } from '../../../evaluation/simulated-readings.ts';
import { buildHall, plantOf, runHall, scenarioOf, type Truth, truthOf } from '../../../simulators/index.ts';
import type { GivenStory, GunStory } from '../../../simulators/scenarios/build-hall.ts';
import { PLAIN_HALL, type Scenario } from '../../../simulators/scenarios/scenario.ts';
import { SMALL } from '../../simulators/small-hall.ts';
import type { ScenarioFile } from './scenario-file.ts';

const HOUR_MS = 3_600_000;

/** What came of a story. */
export interface ScenarioRun {
  readonly replay: Replay;
  readonly log: readonly LogEntry[];
  readonly guns: readonly string[];
  readonly truth: Truth;
  /** Epoch ms of a moment of the story. */
  readonly momentMs: (share: number) => number;
}

function scenarioFor(file: ScenarioFile): Scenario {
  const { weeks, guns, fleet, powders, changeChance, lifeSprayHours, newAtStart, badLots } = file;
  const told = { weeks, guns, fleet, powders, changeChance, lifeSprayHours, newAtStart, badLots };
  const changes = Object.fromEntries(Object.entries(told).filter(([, value]) => value !== undefined));
  const { fleet: _fleet, ...small } = SMALL;
  const base: Scenario =
    file.scenario === 'told'
      ? {
          ...small,
          outputs: { measured: 1 },
          fittings: { all: 1 },
          maintenance: { ...PLAIN_HALL.maintenance, refit: 0 },
        }
      : scenarioOf(file.scenario);
  return { ...base, ...changes };
}

/** What the file tells instead of leaving it to chance, as the simulators take it. */
function givenFor(file: ScenarioFile, momentMs: (share: number) => number): GivenStory {
  const storyOf = (gun: number, drawn: GunStory): GunStory => {
    const id = `gun-${String(gun + 1).padStart(2, '0')}`;
    const told = file.faults.filter((fault) => fault.gun === id);
    const plans = told.map((fault, place) => ({
      id: `${id}/${fault.cause}/${place}`,
      cause: fault.cause,
      gun,
      shape: fault.shape,
      onset: momentMs(fault.at),
      size: fault.size,
      sprayHours: fault.sprayHours,
      mendAfter: fault.mendAfter,
      logged: true,
      wrongFirst: fault.wrongFirst,
      ...(fault.sensor === undefined ? {} : { sensor: fault.sensor }),
    }));
    const times = file.insertChanges?.map(momentMs);
    return {
      ...drawn,
      plans: file.scenario === 'told' ? plans : [...drawn.plans, ...plans],
      maintenance: times === undefined ? drawn.maintenance : { ...drawn.maintenance, insert: { by: 'plan', times } },
    };
  };
  const supplyEvents = file.supply.map(({ kind, at, hours, size }) => ({
    kind,
    start: momentMs(at),
    end: momentMs(at) + hours * HOUR_MS,
    size,
    line: 0,
  }));
  return { storyOf, ...(file.scenario === 'told' ? { supplyEvents } : {}) };
}

/** Simulates a story, analyses what its sensors sent and tells what was found. */
export function runScenario(file: ScenarioFile): ScenarioRun {
  const scenario = scenarioFor(file);
  const { work } = buildHall(scenario, file.seed);
  const momentMs = (share: number): number => work.moment(share);
  const hall = buildHall(scenario, file.seed, givenFor(file, momentMs));
  const sent = new SimulatedReadings();
  for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
  const told = file.log.map(({ at, ...entry }): LogEntry => ({ ...entry, time: momentMs(at), note: '' }));
  const log = [...hall.guns.flatMap(({ maintenance }) => maintenance.log), ...told].sort((a, b) => a.time - b.time);
  const plant = Plant.parse(plantOf(hall));
  const replay = replaySite({
    plant,
    settings: Settings.parse({ learningRuns: file.learningRuns }),
    log,
    readings: sent.table(),
  });
  const truth = truthOf(hall, momentMs(0), momentMs(1));
  return { replay, log, guns: plant.guns.map(({ id }) => id), truth, momentMs };
}
