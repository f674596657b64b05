import { LATEST_MS, NO_OFFSET, parseTime, quoted } from '../../contract/index.ts';
import type { Reason } from '../reasons.ts';
import { localInstant } from './local-time.ts';
import type { Mapping } from './mapping-config.ts';

type TimeForm = Pick<Mapping['time'], 'as' | 'zone'>;
export type MappedTime = { readonly ms: number } | { readonly reason: Reason; readonly detail: string };

const PER_MS = { 'unix-s': 1e-3, 'unix-ms': 1, 'unix-us': 1e3, 'unix-ns': 1e6 } as const;
const NUMBER = /^[+-]?\d+(\.\d*)?([eE][+-]?\d+)?$/;

/**
 * A time as a payload carries it, in the form that the configuration states; also one that a clock which began at 1970 gives.
 *
 * @param receivedAt epoch ms, which tells the two hours apart that a local clock shows alike in autumn
 * @returns epoch ms, rounded to 1 ms; or why it cannot be used
 * @example
 * readMappedTime(1772439000000, { as: 'unix-ms' }, 1772439000500); // { ms: 1772439000000 }
 */
export function readMappedTime(value: unknown, { as, zone }: TimeForm, receivedAt: number): MappedTime {
  const ms = parse(value, as, zone, receivedAt);
  const found = `time: found ${quoted(value)}`;
  if (ms === NO_OFFSET)
    return { reason: 'time-without-offset', detail: `${found}, expected it with an offset from UTC` };
  if (!(ms <= LATEST_MS && ms >= -LATEST_MS))
    return { reason: 'time-unreadable', detail: `${found}, expected ${FORMS[as ?? 'any']}` };
  return { ms };
}

/** A message that comes so soon after the second of two hours that look alike is of that one, ms. Source: own choice, half of the hour. */
const FRESH_MS = 30 * 60_000;

/** Of two instants that a clock shows alike the second where the message came then; else the first. */
function mappedLocalTime(text: string, zone: string, receivedAt: number): number {
  const { ms, shown } = localInstant(text, zone, Number.NEGATIVE_INFINITY);
  if (shown !== 'twice') return ms;
  const second = localInstant(text, zone, Number.POSITIVE_INFINITY).ms;
  const away = Math.abs(receivedAt - second);
  return away <= FRESH_MS && away < Math.abs(receivedAt - ms) ? second : ms;
}

const FORMS: Readonly<Record<string, string>> = {
  any: 'ISO 8601 with offset, or Unix seconds',
  iso: 'ISO 8601 with offset',
  local: 'date and time such as 2026-03-02T09:10:00',
  'unix-s': 'Unix seconds',
  'unix-ms': 'Unix milliseconds',
  'unix-us': 'Unix microseconds',
  'unix-ns': 'Unix nanoseconds',
};

function parse(value: unknown, as: TimeForm['as'], zone: string | undefined, receivedAt: number): number {
  if (typeof value !== 'string' && typeof value !== 'number') return Number.NaN;
  const text = String(value).trim();
  if (as === undefined) return parseTime(text);
  if (as === 'local') return mappedLocalTime(text, zone!, receivedAt);
  if (as === 'iso') return NUMBER.test(text) ? Number.NaN : parseTime(text);
  return NUMBER.test(text) ? Math.round(Number(text) / PER_MS[as]) : Number.NaN;
}
