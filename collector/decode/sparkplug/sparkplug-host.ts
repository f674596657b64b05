import { quoted } from '../../contract/index.ts';
import { PACK_LIMITS, type PackLimits } from '../decoded.ts';
import { readMappedTime } from '../mapped/mapped-time.ts';
import { readMappedValue } from '../mapped/mapped-value.ts';
import { provenanceOf, type Translation } from '../mapped/translated.ts';
import { EdgeNode } from './edge-node.ts';
import { MOST_NODES, RememberedNodes } from './remembered-nodes.ts';
import type { Sparkplug } from './sparkplug-config.ts';
import { readSparkplugPayload, type SparkplugMetric, type SparkplugPayload, unusedKind } from './sparkplug-payload.ts';
import { type MappedSource, SparkplugSources } from './sparkplug-sources.ts';
import { parseSparkplugTopic, type SparkplugTopic } from './sparkplug-topic.ts';

/** Of the property "Quality". Source: Sparkplug 3.0.0 section 6.4.15.1. */
const GOOD = 192;
const MILLISECONDS = { as: 'unix-ms', zone: undefined } as const;

/** Asks an edge node for its births. */
export type AskForBirth = (node: { readonly group: string; readonly node: string }, nowMs: number) => void;

/**
 * The host side of Sparkplug B (Eclipse specification 3.0): follows each edge node's births, sequence and deaths, and makes readings
 * of the metrics that the configuration maps. Readings out of sequence are kept: only what cannot be understood without a birth is
 * refused, and then, as after a gap, the node is asked to be born again.
 */
export class SparkplugHost {
  readonly #sources: SparkplugSources;
  readonly #limits: PackLimits;
  readonly #rebirthEveryMs: number;
  readonly #ask: AskForBirth;
  readonly #nodes: RememberedNodes;
  readonly #askedAt = new Map<string, number>();

  /** @param tellFull no room is left to remember an edge node that brings readings */
  constructor(
    config: Sparkplug,
    ask: AskForBirth,
    limits: PackLimits = PACK_LIMITS,
    tellFull: () => void = () => undefined,
  ) {
    this.#nodes = new RememberedNodes(tellFull);
    this.#sources = new SparkplugSources(config);
    this.#limits = limits;
    this.#rebirthEveryMs = config.rebirthEveryS * 1000;
    this.#ask = ask;
  }

  filters(): string[] {
    return this.#sources.filters();
  }

  claims(name: string): boolean {
    const topic = parseSparkplugTopic(name);
    return topic !== null && this.#sources.hasNode(topic.group, topic.node);
  }

  /** Takes back births of before a restart, so that what was queued meanwhile can be understood. */
  restore(births: readonly { readonly topic: string; readonly payload: Uint8Array }[]): void {
    const parsed = births.flatMap(({ topic: name, payload: bytes }) => {
      const topic = parseSparkplugTopic(name);
      const payload = readSparkplugPayload(bytes);
      return topic === null || typeof payload === 'string' ? [] : [{ name, topic, payload }];
    });
    // A node's birth forgets those of its devices, so it comes first.
    parsed.sort((left, right) => Number(left.topic.device !== null) - Number(right.topic.device !== null));
    for (const { name, topic, payload } of parsed) {
      const node = this.#node(topic);
      if (topic.device === null) node.beginSession(bdSeqOf(payload));
      else node.deviceBirths.add(name);
      node.restored = true;
      node.learn(topic.device, payload.metrics);
      this.#settle(node, topic);
      this.#nodes.note(topic, node);
    }
  }

  read(name: string, bytes: Buffer, receivedAt: number, into: Translation): void {
    const topic = parseSparkplugTopic(name)!;
    const payload = bytes.length > this.#limits.bytes ? `${bytes.length} bytes` : readSparkplugPayload(bytes);
    if (typeof payload === 'string' || payload.metrics.length > this.#limits.records) {
      const large = typeof payload !== 'string' || bytes.length > this.#limits.bytes;
      into.refuse(large ? 'too-large' : 'not-sparkplug', typeof payload === 'string' ? payload : 'too many metrics');
      return;
    }
    const node = this.#node(topic, into);
    if (topic.type === 'NDEATH') this.#nodeDeath(node, topic, payload, into);
    else {
      const sources = this.#settle(node, topic, into);
      if (topic.type !== 'NBIRTH') node.count(payload.seq);
      if (topic.type === 'NBIRTH') this.#nodeBirth(node, topic, name, bytes, payload, into);
      else if (topic.type === 'DBIRTH' && sources.length > 0)
        this.#deviceBirth(node, topic, name, bytes, payload, into);
      if (topic.type === 'DDEATH') {
        node.deviceDied(topic.device);
        say(node.stationsOf(topic.device), false, into);
      } else {
        if (topic.type === 'NBIRTH' || topic.type === 'DBIRTH') say(node.stationsOf(topic.device), true, into);
        const understood = this.#metrics(node, topic, payload, sources, receivedAt, into);
        const unborn = sources.length > 0 && !node.isBorn(topic.device);
        const unsure = node.restored || node.missed || !node.born || !node.alive || unborn;
        if (!understood || unsure) this.#askForBirth(topic, receivedAt);
      }
    }
    this.#nodes.note(topic, node);
  }

  #nodeBirth(
    node: EdgeNode,
    topic: SparkplugTopic,
    name: string,
    bytes: Buffer,
    payload: SparkplugPayload,
    into: Translation,
  ): void {
    for (const birth of node.deviceBirths) into.keep.push({ topic: birth, payload: Buffer.alloc(0) });
    node.beginSession(bdSeqOf(payload));
    node.countFrom(payload.seq);
    node.learn(null, payload.metrics);
    if (this.#remembers(topic, node)) into.keep.push({ topic: name, payload: Buffer.from(bytes) });
  }

  #deviceBirth(
    node: EdgeNode,
    topic: SparkplugTopic,
    name: string,
    bytes: Buffer,
    { metrics }: SparkplugPayload,
    into: Translation,
  ): void {
    node.learn(topic.device, metrics);
    if (!node.isBorn(topic.device) || !this.#remembers(topic, node)) return;
    node.deviceBirths.add(name);
    into.keep.push({ topic: name, payload: Buffer.from(bytes) });
  }

  /** A death counts when it belongs to the present session: the broker may send that of an earlier one late. */
  #nodeDeath(node: EdgeNode, topic: SparkplugTopic, payload: SparkplugPayload, into: Translation): void {
    if (node.born && bdSeqOf(payload) !== node.bdSeq) return;
    node.alive = false;
    this.#settle(node, topic, into);
    say(node.stations, false, into);
  }

  /** Notes which stations a node or device is; refuses a name that the configuration should list. */
  #settle(node: EdgeNode, topic: SparkplugTopic, into?: Translation): readonly MappedSource[] {
    const { sources, unnamed } = this.#sources.find(topic);
    if (unnamed !== null)
      into?.refuse('unknown-station', `found ${quoted(unnamed)}, expected one of the source’s names`);
    if (sources.length > 0) node.brings(topic.device, new Set(sources.map(({ station }) => station)));
    return sources;
  }

  /** @returns whether every metric could be understood */
  #metrics(
    node: EdgeNode,
    topic: SparkplugTopic,
    payload: SparkplugPayload,
    sources: readonly MappedSource[],
    receivedAt: number,
    into: Translation,
  ): boolean {
    let understood = true;
    // What nothing is mapped of need not be understood, nor its births be asked for.
    if (sources.length === 0) return true;
    const { group, node: nodeId, device } = topic;
    const provenance = provenanceOf([group, nodeId, ...(device === null ? [] : [device])].join('/'));
    for (const metric of payload.metrics) {
      const born = node.find(device, metric);
      const name = born?.name ?? metric.name;
      const datatype = metric.datatype || (born?.datatype ?? 0);
      if (name === null || datatype === 0) {
        understood = false;
        const found = name === null ? `alias ${metric.alias}` : quoted(name);
        into.refuse('unknown-metric', `found ${found}, expected it in a birth`);
        continue;
      }
      for (const { station, metrics } of sources)
        for (const fields of metrics.get(name) ?? []) {
          const value = metric.value(datatype);
          // Null says that there is no value now: no reading, and no fault.
          if (value === null || !usable(metric, name, datatype, into)) continue;
          const time = readMappedTime(metric.timestamp ?? payload.timestamp ?? receivedAt, MILLISECONDS, receivedAt);
          if ('reason' in time) into.refuse(time.reason, `${quoted(name)}: ${time.detail}`);
          else {
            const record = { name: provenance + fields.channel, unit: fields.unit, ms: time.ms };
            into.add(station, record, readMappedValue(value, fields), metric.historical);
          }
        }
    }
    return understood;
  }

  /** What is known of a node. One that has told nothing of itself that is mapped, or one too many, is not remembered. */
  #node(topic: SparkplugTopic, into?: Translation): EdgeNode {
    const known = this.#nodes.find(topic);
    if (known !== undefined) return known;
    const unknown = new EdgeNode();
    if (topic.type !== 'NBIRTH' && topic.type !== 'DBIRTH') return unknown;
    const isMapped = this.#sources.find(topic).sources.length > 0;
    // Its devices may be mapped where the node itself is not.
    if (!isMapped && topic.type === 'DBIRTH') return unknown;
    for (const birth of this.#nodes.add(topic, unknown, isMapped) ?? [])
      into?.keep.push({ topic: birth, payload: Buffer.alloc(0) });
    return unknown;
  }

  #remembers(topic: SparkplugTopic, known: EdgeNode): boolean {
    return this.#nodes.find(topic) === known;
  }

  #askForBirth(topic: SparkplugTopic, nowMs: number): void {
    const key = `${topic.group}/${topic.node}`;
    if (nowMs - (this.#askedAt.get(key) ?? Number.NEGATIVE_INFINITY) < this.#rebirthEveryMs) return;
    if (this.#askedAt.size >= MOST_NODES) this.#askedAt.clear();
    this.#askedAt.set(key, nowMs);
    this.#ask(topic, nowMs);
  }
}

function usable(metric: SparkplugMetric, name: string, datatype: number, into: Translation): boolean {
  const { quality } = metric;
  if (quality !== null && quality !== GOOD) {
    into.refuse('bad-quality', `${quoted(name)}: found quality ${quality}, expected ${GOOD}`);
    return false;
  }
  if (metric.value(datatype) !== undefined) return true;
  into.refuse('wrong-kind', `${quoted(name)}: found ${unusedKind(datatype)}, expected a number, a state or text`);
  return false;
}

function say(stations: ReadonlySet<string>, online: boolean, into: Translation): void {
  for (const station of stations) into.online.push({ station, online });
}

/** Number of the node's session, of its birth and of the death that belongs to it. */
function bdSeqOf({ metrics }: SparkplugPayload): number | null {
  const metric = metrics.find(({ name }) => name === 'bdSeq');
  const value = metric?.value(metric.datatype);
  return typeof value === 'number' ? value : null;
}
