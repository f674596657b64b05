import type { Sparkplug, SparkplugSource } from './sparkplug-config.ts';
import { NAMESPACE, type SparkplugTopic } from './sparkplug-topic.ts';

type Metric = SparkplugSource['metrics'][number];

/** What one edge node or device brings: a station, and the channels of its metrics by their name. */
export interface MappedSource {
  readonly station: string;
  readonly metrics: ReadonlyMap<string, readonly Metric[]>;
}

const fits = (wanted: string | null, found: string | null): boolean =>
  wanted === '+' ? found !== null : wanted === found;

/** Which sources of the configuration an edge node or device is. */
export class SparkplugSources {
  readonly #sources: readonly { readonly source: SparkplugSource; readonly metrics: MappedSource['metrics'] }[];

  constructor({ sources }: Sparkplug) {
    this.#sources = sources.map((source) => ({ source, metrics: byName(source.metrics) }));
  }

  /** Whether anything of this node is mapped: then all its messages count, because they share one sequence. */
  hasNode(group: string, node: string): boolean {
    return this.#sources.some(({ source }) => fits(source.group, group) && fits(source.node, node));
  }

  /** The stations of a node (device null) or device; `unnamed` is a name that the configuration does not list. */
  find(topic: Pick<SparkplugTopic, 'group' | 'node' | 'device'>): { sources: MappedSource[]; unnamed: string | null } {
    const sources: MappedSource[] = [];
    let unnamed: string | null = null;
    for (const { source, metrics } of this.#sources) {
      if (!fits(source.group, topic.group) || !fits(source.node, topic.node) || !fits(source.device, topic.device))
        continue;
      const { station } = source;
      const name = typeof station === 'string' ? station : topic[station.from]!;
      const names = typeof station === 'string' ? undefined : station.names;
      if (names === undefined) sources.push({ station: name, metrics });
      else if (Object.hasOwn(names, name)) sources.push({ station: names[name]!, metrics });
      else unnamed = name;
    }
    return { sources, unnamed };
  }

  /** Topic filters that cover all of it. */
  filters(): string[] {
    const filters = this.#sources.flatMap(({ source: { group, node } }) => [
      ...['NBIRTH', 'NDEATH', 'NDATA'].map((type) => `${NAMESPACE}/${group}/${type}/${node}`),
      ...['DBIRTH', 'DDEATH', 'DDATA'].map((type) => `${NAMESPACE}/${group}/${type}/${node}/+`),
    ]);
    return [...new Set(filters)];
  }
}

function byName(metrics: readonly Metric[]): Map<string, Metric[]> {
  const result = new Map<string, Metric[]>();
  for (const metric of metrics) {
    const known = result.get(metric.metric);
    if (known === undefined) result.set(metric.metric, [metric]);
    else known.push(metric);
  }
  return result;
}
