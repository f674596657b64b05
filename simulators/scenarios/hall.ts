import type { WorkDays } from '../calendar/work-days.ts';
import type { GunSimulation } from '../gun/gun-simulation.ts';
import type { GunTrap } from '../gun/gun-trap.ts';
import type { AirPoint } from '../hall/air-point.ts';
import type { BadLot, HallAir } from '../hall/hall-air.ts';
import type { WorkPlan } from '../hall/work-plan.ts';
import type { LineEvent } from './plan-air.ts';
import type { Scenario } from './scenario.ts';
import type { Setting } from './setting.ts';

/** A hall ready to run, day by day. */
export interface Hall {
  readonly scenario: Scenario;
  /** As the caller gave it. */
  readonly seed: number;
  /** What all chance in this hall is drawn from: the seed and the scenario's name. */
  readonly chance: number;
  readonly setting: Setting;
  readonly work: WorkDays;
  readonly air: HallAir;
  readonly guns: readonly GunSimulation[];
  readonly points: readonly AirPoint[];
  readonly booths: readonly WorkPlan[];
  readonly supplyEvents: readonly LineEvent[];
  readonly badLots: readonly BadLot[];
  readonly traps: readonly GunTrap[];
}

/** Id of an air line in the plant file. */
export function lineId(line: number): string {
  return `line-${line + 1}`;
}
