import { stringify } from 'yaml';
import type { z } from 'zod';
import type { Plant } from '../../collector/contract/plant.ts';
import { type Hall, lineId } from '../scenarios/hall.ts';

/** The plant file of a hall, as the contract has it. */
export function plantOf(hall: Hall): z.input<typeof Plant> {
  const { setting } = hall;
  const lines = hall.scenario.lines;
  return {
    site: { id: setting.siteId, name: setting.siteName, timezone: setting.timezone, altitude: setting.altitude },
    guns: hall.guns.map(({ spec }) => ({
      id: spec.id,
      name: spec.name,
      ...(lines > 1 ? { supply: lineId(spec.line) } : {}),
      ...(spec.output === 'setpoint' || spec.output === 'coupled' ? { output: spec.output } : {}),
    })),
    air: hall.points.map(({ id, line }) => ({ id, ...(lines > 1 ? { supply: lineId(line) } : {}) })),
    powders: hall.air.powders.map(({ id, name, family }) => ({ id, name, family })),
  };
}

export function plantYaml(hall: Hall): string {
  return stringify(plantOf(hall));
}
