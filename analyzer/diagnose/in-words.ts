import { type Channel, counted, isPartId } from '../../collector/contract/index.ts';

/** Channels as fitters call them. */
const CHANNELS: Readonly<Record<Channel, string>> = {
  'conveying/pressure': 'conveying air pressure',
  'conveying/flow': 'conveying air flow',
  'conveying/ripple': 'ripple of the conveying air',
  'supplementary/pressure': 'supplementary air pressure',
  'supplementary/flow': 'supplementary air flow',
  'fluidizing/pressure': 'fluidizing air pressure',
  'fluidizing/flow': 'fluidizing air flow',
  'supply/pressure': 'inlet pressure',
  'supply/temperature': 'temperature of the supply air',
  'supply/dewpoint': 'dew point of the supply air',
  'powder/output': 'powder output',
  'powder/mass': 'weight of the powder box',
  'powder/id': 'name of the powder',
  trigger: 'trigger signal',
};

/** A channel in the trade's words, for the middle of a sentence. */
export function channelInWords(channel: Channel): string {
  return CHANNELS[channel];
}

/**
 * A cause in the trade's words, for the middle of a sentence.
 *
 * @example
 * causeInWords('pump-seals'); // 'the pump seals'
 */
export function causeInWords(cause: string): string {
  if (isPartId(cause)) return `the ${cause.replaceAll('-', ' ')}`;
  if (cause === 'supply-air') return 'the supply air';
  if (cause === 'powder') return 'the powder or its lot';
  if (cause === 'sensor:clock') return 'the clock';
  return cause.startsWith('sensor:') ? `the sensor of the ${CHANNELS[cause.slice(7) as Channel]}` : cause;
}

/** "was" or "were", as the part is one thing or several. */
export function wasOrWere(part: string): string {
  return part.endsWith('s') ? 'were' : 'was';
}

/**
 * A figure with so many decimals and a true minus.
 *
 * @example
 * figureOf(-0.216, 2); // '−0.22'
 */
export function figureOf(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return text.startsWith('-') ? (Number(text) === 0 ? text.slice(1) : `−${text.slice(1)}`) : text;
}

/** A share as a percentage with so many decimals and a true minus: "−3 %". */
export function percentOf(share: number, decimals = 0): string {
  return `${figureOf(100 * share, decimals)} %`;
}

const MINUTE_MS = 60_000;
/** Units of a span, and from how many of the next smaller one they are used. */
const SPANS = [
  { unit: 'years', ms: 365.25 * 1440 * MINUTE_MS, from: 2 * 365.25 * 1440 * MINUTE_MS },
  { unit: 'days', ms: 1440 * MINUTE_MS, from: 2 * 1440 * MINUTE_MS },
  { unit: 'hours', ms: 60 * MINUTE_MS, from: 2 * 60 * MINUTE_MS },
] as const;

/**
 * A span of time in the unit that people would say it in.
 *
 * @param ms length, either sign
 * @example
 * spanInWords(-10_800_000); // '3.0 hours'
 */
export function spanInWords(ms: number): string {
  const length = Math.abs(ms);
  const span = SPANS.find(({ from }) => length >= from);
  if (span === undefined) return counted(Math.round(length / MINUTE_MS), 'minute');
  return `${(length / span.ms).toFixed(1)} ${span.unit}`;
}

/**
 * How long something has lasted by the clock: hours up to two days, then days; whole ones that are over.
 *
 * @param ms milliseconds, >= 0
 * @example
 * lastingInWords(9_000_000); // '2 hours'
 */
export function lastingInWords(ms: number): string {
  const hours = Math.floor(ms / 3_600_000);
  return hours < 48 ? counted(hours, 'hour') : counted(Math.floor(hours / 24), 'day');
}
