import { CHANNELS, channelIndex, quoted } from '../../contract/index.ts';
import type { Reason } from '../reasons.ts';

/** A value and where it goes. */
export interface ValueFields {
  readonly channel: string;
  readonly scale: number;
  readonly offset: number;
}

/** A value in the form that SenML gives it (RFC 8428 section 4.2), or why it is none. */
export type MappedValue =
  | { readonly v: number }
  | { readonly vb: boolean }
  | { readonly vs: string }
  | { readonly reason: Reason; readonly detail: string };

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;
const STATES: ReadonlyMap<unknown, boolean> = new Map<unknown, boolean>([
  [true, true],
  [1, true],
  ['1', true],
  ['true', true],
  ['on', true],
  [false, false],
  [0, false],
  ['0', false],
  ['false', false],
  ['off', false],
]);

/**
 * A value of a payload for a channel: scaled, and of the channel's kind. Numbers and states may stand as text.
 *
 * @example
 * readMappedValue('162', { channel: 'conveying/pressure', scale: 0.01, offset: 0 }); // { v: 1.62 }
 */
export function readMappedValue(value: unknown, { channel, scale, offset }: ValueFields): MappedValue {
  const kind = CHANNELS[channelIndex(channel)]?.kind;
  const refused = (reason: Reason, expected: string): MappedValue => ({
    reason,
    detail: `${channel}: found ${quoted(value)}, expected ${expected}`,
  });
  if (kind === 'string') {
    const text = typeof value === 'number' ? String(value) : value;
    return typeof text === 'string' ? { vs: text } : refused('wrong-kind', 'text');
  }
  if (kind === 'boolean') {
    const state = STATES.get(typeof value === 'string' ? value.trim().toLowerCase() : value);
    return state === undefined ? refused('not-a-trigger', 'true or false, 0 or 1, on or off') : { vb: state };
  }
  if (typeof value !== 'number' && typeof value !== 'string') return refused('wrong-kind', 'a number');
  const number = typeof value === 'string' ? (NUMBER.test(value.trim()) ? Number(value) : Number.NaN) : value;
  const scaled = number * scale + offset;
  return Number.isFinite(scaled) ? { v: scaled } : refused('not-a-number', 'a number');
}
