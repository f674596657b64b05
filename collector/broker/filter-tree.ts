import type { Qos } from './connect-packet.ts';

interface Level<Subscriber> {
  readonly below: Map<string, Level<Subscriber>>;
  readonly here: Map<Subscriber, Qos>;
}

const newLevel = <Subscriber>(): Level<Subscriber> => ({ below: new Map(), here: new Map() });

/** Subscriptions by topic filter, level by level: MQTT 3.1.1 section 4.7. */
export class FilterTree<Subscriber> {
  readonly #top: Level<Subscriber> = newLevel();
  #size = 0;

  /** Subscriptions in all. */
  get size(): number {
    return this.#size;
  }

  /** Adds a subscription, or replaces the one with an identical filter [MQTT-3.8.4-3]. */
  add(filter: string, subscriber: Subscriber, qos: Qos): void {
    let level = this.#top;
    for (const part of filter.split('/')) {
      let next = level.below.get(part);
      if (next === undefined) {
        next = newLevel();
        level.below.set(part, next);
      }
      level = next;
    }
    if (!level.here.has(subscriber)) this.#size++;
    level.here.set(subscriber, qos);
  }

  remove(filter: string, subscriber: Subscriber): void {
    const parts = filter.split('/');
    const path = [this.#top];
    for (const part of parts) {
      const next = path[path.length - 1]!.below.get(part);
      if (next === undefined) return;
      path.push(next);
    }
    if (path[parts.length]!.here.delete(subscriber)) this.#size--;
    for (let depth = parts.length; depth > 0; depth--) {
      const { below, here } = path[depth]!;
      if (below.size > 0 || here.size > 0) return;
      path[depth - 1]!.below.delete(parts[depth - 1]!);
    }
  }

  /**
   * Who gets a message to this topic, each once with the highest QoS of all that match [MQTT-3.3.5-1]. Wildcards in
   * a filter's first level do not match topics that start with `$` [MQTT-4.7.2-1].
   */
  match(topic: string): ReadonlyMap<Subscriber, Qos> {
    const found = new Map<Subscriber, Qos>();
    if (this.#size > 0) gather(this.#top, topic.split('/'), 0, !topic.startsWith('$'), found);
    return found;
  }
}

function gather<Subscriber>(
  level: Level<Subscriber>,
  parts: readonly string[],
  depth: number,
  wildcards: boolean,
  found: Map<Subscriber, Qos>,
): void {
  const { below } = level;
  // "a/#" matches "a" too: section 4.7.1.2.
  if (wildcards) take(below.get('#'), found);
  if (depth === parts.length) {
    take(level, found);
    return;
  }
  const one = wildcards ? below.get('+') : undefined;
  if (one !== undefined) gather(one, parts, depth + 1, true, found);
  const same = below.get(parts[depth]!);
  if (same !== undefined) gather(same, parts, depth + 1, true, found);
}

function take<Subscriber>(level: Level<Subscriber> | undefined, found: Map<Subscriber, Qos>): void {
  if (level === undefined) return;
  for (const [subscriber, qos] of level.here) {
    const before = found.get(subscriber);
    if (before === undefined || before < qos) found.set(subscriber, qos);
  }
}
