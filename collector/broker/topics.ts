/** What a topic is for, seen from the contract's topic tree below the root. */
export type TopicKind = 'readings' | 'online' | 'condition' | 'mapped' | 'unknown' | 'foreign';

const NOTHING = (): boolean => false;

/** A topic name taken apart. `site` and `station` are '' where the topic has none. */
export interface Topic {
  readonly name: string;
  readonly kind: TopicKind;
  readonly site: string;
  readonly station: string;
}

/**
 * Takes a topic name apart: `<root>/<site>/<station>` and its `/online` and `/condition` are the contract's,
 * what a configured mapping takes is `mapped`, anything else below the root is `unknown`, and what lies outside is `foreign`.
 *
 * Site and station are not looked up here: whether they exist is the plant file's business.
 *
 * @param claims whether a mapping of the configuration takes a topic
 * @example
 * parseTopic('airlines', 'airlines/hall-2/gun-01/online').kind; // 'online'
 */
export function parseTopic(root: string, name: string, claims: (name: string) => boolean = NOTHING): Topic {
  if (name !== root && !name.startsWith(`${root}/`))
    return { name, kind: claims(name) ? 'mapped' : 'foreign', site: '', station: '' };
  const levels = name.slice(root.length + 1).split('/');
  const [site = '', station = '', leaf] = levels;
  if (levels.length === 2 && site !== '' && station !== '') return { name, kind: 'readings', site, station };
  if (levels.length === 3 && site !== '' && station !== '' && (leaf === 'online' || leaf === 'condition'))
    return { name, kind: leaf, site, station };
  return { name, kind: claims(name) ? 'mapped' : 'unknown', site, station };
}

/** The topic on which a station's online state is retained. */
export function onlineTopic(root: string, site: string, station: string): string {
  return `${root}/${site}/${station}/online`;
}

/** The topic on which a gun's condition is retained. */
export function conditionTopic(root: string, site: string, gun: string): string {
  return `${root}/${site}/${gun}/condition`;
}

/** The topics of the broker itself, where nobody else publishes: MQTT 3.1.1 section 4.7.2, as brokers use it. */
export function isBrokersOwn(name: string): boolean {
  return name === '$SYS' || name.startsWith('$SYS/');
}

/**
 * Whether a subscription filter could ever match a topic of readings, `<root>/<site>/<station>`. A filter that starts
 * with a wildcard may, as MQTT 3.1.1 section 4.7 says for topics that do not start with `$`.
 *
 * @example
 * mayMatchReadings('airlines', 'airlines/+/gun-01'); // true
 * mayMatchReadings('airlines', 'airlines/+/+/condition'); // false
 */
export function mayMatchReadings(root: string, filter: string): boolean {
  const wanted = filter.split('/');
  const rootLevels = root.split('/');
  const depth = rootLevels.length + 2;
  for (let level = 0; level < depth; level++) {
    const part = wanted[level];
    if (part === undefined) return false;
    if (part === '#') return true;
    if (level < rootLevels.length && part !== '+' && part !== rootLevels[level]) return false;
  }
  return wanted.length === depth || (wanted.length === depth + 1 && wanted[depth] === '#');
}
