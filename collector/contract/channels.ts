import type { Dimension } from './units.ts';

/** One kind of reading that a station may send. */
export interface ChannelInfo {
  readonly name: Channel;
  readonly kind: 'number' | 'boolean' | 'string';
  /** What the channel measures, as a physical dimension; null for states and names. */
  readonly dimension: Dimension | null;
  /** Unit in which values are stored and exported; '-' where there is none. */
  readonly canonical: string;
  /** Lowest and highest value that a working sensor can send, canonical unit. */
  readonly range: readonly [number, number] | null;
  /** True for the volume flows that a reference state applies to. */
  readonly normalVolume: boolean;
}

export const CHANNEL_NAMES = [
  'conveying/pressure',
  'conveying/flow',
  'conveying/ripple',
  'supplementary/pressure',
  'supplementary/flow',
  'fluidizing/pressure',
  'fluidizing/flow',
  'supply/pressure',
  'supply/temperature',
  'supply/dewpoint',
  'powder/output',
  'powder/mass',
  'powder/id',
  'trigger',
] as const;

export type Channel = (typeof CHANNEL_NAMES)[number];

const PRESSURE = {
  kind: 'number',
  dimension: 'pressure',
  canonical: 'bar',
  range: [-0.2, 16],
  normalVolume: false,
} as const;
const FLOW = {
  kind: 'number',
  dimension: 'volume-flow',
  canonical: 'm3/h',
  range: [-0.5, 50],
  normalVolume: true,
} as const;
const TEMPERATURE = { kind: 'number', dimension: 'temperature', canonical: 'Cel', normalVolume: false } as const;

/** The channels of the contract, in the order that gives each its index. Never reorder: the store keeps the index. */
export const CHANNELS: readonly ChannelInfo[] = [
  { name: 'conveying/pressure', ...PRESSURE },
  { name: 'conveying/flow', ...FLOW },
  { name: 'conveying/ripple', ...PRESSURE },
  { name: 'supplementary/pressure', ...PRESSURE },
  { name: 'supplementary/flow', ...FLOW },
  { name: 'fluidizing/pressure', ...PRESSURE },
  { name: 'fluidizing/flow', ...FLOW },
  { name: 'supply/pressure', ...PRESSURE },
  { name: 'supply/temperature', ...TEMPERATURE, range: [-40, 80] },
  { name: 'supply/dewpoint', ...TEMPERATURE, range: [-100, 60] },
  {
    name: 'powder/output',
    kind: 'number',
    dimension: 'mass-flow',
    canonical: 'g/min',
    range: [-20, 2000],
    normalVolume: false,
  },
  { name: 'powder/mass', kind: 'number', dimension: 'mass', canonical: 'kg', range: [-1, 2000], normalVolume: false },
  { name: 'powder/id', kind: 'string', dimension: null, canonical: '-', range: null, normalVolume: false },
  { name: 'trigger', kind: 'boolean', dimension: null, canonical: '-', range: null, normalVolume: false },
];

const INDEX = new Map<string, number>(CHANNELS.map((channel, index) => [channel.name, index]));

/** Index of a channel in CHANNELS, or -1 when the name is no channel of the contract. */
export function channelIndex(name: string): number {
  return INDEX.get(name) ?? -1;
}
