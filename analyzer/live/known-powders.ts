import type { Plant } from '../../collector/contract/index.ts';
import type { States } from '../../collector/index.ts';
import { readHead } from './station-head.ts';

/** Powders that the plant file names and those that its guns have sprayed, in order. */
export function knownPowders({ guns, powders }: Plant, states: States): string[] {
  const sprayed = guns.flatMap(({ id }) => readHead(id, states)?.powders ?? []);
  return [...new Set([...powders.map(({ id }) => id), ...sprayed])].sort();
}
