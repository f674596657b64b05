import type { OperationConfig } from './config.ts';
import type { Plant } from './contract/index.ts';

/**
 * Stations that mappings and Sparkplug sources name and the plant does not have, a line each. No fault: a gun may have been
 * taken down and come back; but all that such a mapping takes goes into the quarantine, and a mistyped id would tell it only there.
 */
export function unknownStations({ mappings, sparkplug }: OperationConfig, { guns, air }: Plant): string[] {
  const known = new Set([...guns, ...air].map(({ id }) => id));
  const from = [
    ...mappings.map(({ station }, place) => ({ station, field: `mappings[${place}].station` })),
    ...sparkplug.sources.map(({ station }, place) => ({ station, field: `sparkplug.sources[${place}].station` })),
  ];
  return from.flatMap(({ station, field }) =>
    (typeof station === 'string' ? [station] : Object.values(station.names ?? {}))
      .filter((id) => !known.has(id))
      .map((id) => `${field}: found ${id}, which the plant does not have: what comes for it will be refused`),
  );
}
