import { mayMatchReadings } from './broker/topics.ts';
import type { OperationConfig } from './config.ts';

const OWN_LEAVES = ['online', 'condition'];

/**
 * Mappings whose topic filter takes topics of the contract in, a sentence each: what comes there is read as readings or as an online state, never by
 * a mapping. No fault: the filter may take other topics as well.
 */
export function mappingsOfOwnTopics({
  mappings,
  broker: { root },
}: Pick<OperationConfig, 'mappings' | 'broker'>): string[] {
  const station = `${root}/SITE/STATION`;
  return mappings.flatMap(({ topic }, place) => {
    if (isOwnAlone(root, topic))
      return [
        `mappings[${place}].topic: found ${topic}: what comes on ${station}, and its /online and /condition, is read as SenML and online states and never by a mapping: this one takes nothing; give what it is for a topic of its own`,
      ];
    if (mayMatchReadings(root, topic))
      return [
        `mappings[${place}].topic: found ${topic}: what comes on ${station}, and its /online and /condition, is read as SenML and online states and not by this mapping`,
      ];
    return [];
  });
}

/** Whether a filter matches nothing but topics of the contract. */
function isOwnAlone(root: string, filter: string): boolean {
  const below = filter.startsWith(`${root}/`) ? filter.slice(root.length + 1).split('/') : [];
  const [, , leaf] = below;
  if (below.includes('#')) return false;
  return below.length === 2 || (below.length === 3 && OWN_LEAVES.includes(leaf!));
}
