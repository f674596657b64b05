import type { Plant } from '../collector/contract/index.ts';
import type { Track } from './site.ts';

/** Powders that the plant file names, and those that were sprayed. */
export function sitePowders({ powders }: Plant, tracks: ReadonlyMap<string, Track>): string[] {
  const sprayed = [...tracks.values()].flatMap(({ runs }) => runs.powders);
  return [...new Set([...powders.map(({ id }) => id), ...sprayed])];
}
