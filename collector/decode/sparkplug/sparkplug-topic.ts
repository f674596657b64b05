/** First level of all Sparkplug B topics. Source: Sparkplug 3.0.0 section 4.1. */
export const NAMESPACE = 'spBv1.0';

const NODE_TYPES = ['NBIRTH', 'NDEATH', 'NDATA'] as const;
const DEVICE_TYPES = ['DBIRTH', 'DDEATH', 'DDATA'] as const;
export type SparkplugType = (typeof NODE_TYPES)[number] | (typeof DEVICE_TYPES)[number];

/** A message of an edge node: `spBv1.0/<group>/<type>/<node>[/<device>]`. */
export interface SparkplugTopic {
  readonly type: SparkplugType;
  readonly group: string;
  readonly node: string;
  /** null for the node itself. */
  readonly device: string | null;
}

/** Where commands to an edge node go. */
export function commandTopic(group: string, node: string): string {
  return `${NAMESPACE}/${group}/NCMD/${node}`;
}

/**
 * Takes apart the topic of a message that an edge node sends; null for anything else, commands and host states among it.
 *
 * @example
 * parseSparkplugTopic('spBv1.0/shop/DDATA/edge1/output3'); // { type: 'DDATA', group: 'shop', node: 'edge1', device: 'output3' }
 */
export function parseSparkplugTopic(name: string): SparkplugTopic | null {
  const [namespace, group, type, node, device, ...more] = name.split('/');
  if (namespace !== NAMESPACE || !group || !node || more.length > 0) return null;
  const ofNode = NODE_TYPES.find((one) => one === type);
  if (ofNode !== undefined) return device === undefined ? { type: ofNode, group, node, device: null } : null;
  const ofDevice = DEVICE_TYPES.find((one) => one === type);
  return ofDevice !== undefined && device ? { type: ofDevice, group, node, device } : null;
}
