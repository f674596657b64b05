import type { EdgeNode } from './edge-node.ts';
import { NAMESPACE, type SparkplugTopic } from './sparkplug-topic.ts';

/** Edge nodes remembered. Source: own choice, because a plant has some thousand guns at most. */
export const MOST_NODES = 10_000;

type NodeName = Pick<SparkplugTopic, 'group' | 'node'>;

/**
 * The edge nodes of which something is known. Made-up names push out none that lives and brings readings: when no room is left, a node
 * that is mapped takes the place of the oldest one that brings none or has no session, and one that is not mapped gets none.
 */
export class RememberedNodes {
  readonly #nodes = new Map<string, EdgeNode>();
  /** Those that make room, oldest first. */
  readonly #spare = new Map<string, NodeName>();
  readonly #tellFull: () => void;

  /** @param tellFull no room is left for a node that brings readings */
  constructor(tellFull: () => void) {
    this.#tellFull = tellFull;
  }

  find(name: NodeName): EdgeNode | undefined {
    return this.#nodes.get(keyOf(name));
  }

  /**
   * Remembers a node that is born.
   *
   * @param isMapped the birth is of what the configuration maps
   * @returns topics of births that are kept for nothing from now on; null when the node is not remembered
   */
  add(name: NodeName, node: EdgeNode, isMapped: boolean): readonly string[] | null {
    let forgotten: readonly string[] = [];
    if (this.#nodes.size >= MOST_NODES) {
      if (!isMapped) return null;
      const oldest = this.#spare.entries().next();
      if (oldest.done) {
        this.#tellFull();
        return null;
      }
      const [key, gone] = oldest.value;
      forgotten = [`${NAMESPACE}/${gone.group}/NBIRTH/${gone.node}`, ...this.#nodes.get(key)!.deviceBirths];
      this.#nodes.delete(key);
      this.#spare.delete(key);
    }
    this.#nodes.set(keyOf(name), node);
    return forgotten;
  }

  /** A message of a node has been taken in: notes whether it would make room. */
  note(name: NodeName, node: EdgeNode): void {
    const key = keyOf(name);
    if (node.alive && node.bringsAny) this.#spare.delete(key);
    else if (this.#nodes.get(key) === node) this.#spare.set(key, { group: name.group, node: name.node });
  }
}

const keyOf = ({ group, node }: NodeName): string => `${group}/${node}`;
