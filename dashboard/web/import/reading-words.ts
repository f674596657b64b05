import { CHANNELS } from '../../../collector/contract/channels.ts';
import { decimal } from '../words/figures.ts';
import { flow, mass, output, pressure, type Quantity, type Units } from '../words/units.ts';

/** Decimals with which each unit is read. Source: own choice, because a sensor shows about that much. */
const DIGITS: Readonly<Record<string, number>> = { bar: 3, psi: 2, 'm³/h': 2, scfm: 2, 'g/min': 0, 'lb/h': 1 };

/** Source: NIST SP 811 (2008) section B.8, °F = 1.8 °C + 32. */
const temperature = (celsius: number, units: Units): Quantity =>
  units === 'us' ? { value: 1.8 * celsius + 32, unit: '°F' } : { value: celsius, unit: '°C' };

const BY_DIMENSION = { pressure, 'volume-flow': flow, temperature, 'mass-flow': output, mass } as const;

/** A reading in the plant's units; its value comes in the channel's canonical one. */
export function readingWords(channel: string, value: number | string, units: Units): string {
  const info = CHANNELS.find(({ name }) => name === channel);
  if (info?.kind === 'boolean') return value === 1 ? 'on' : 'off';
  if (typeof value === 'string' || info?.dimension == null) return String(value);
  const shown = BY_DIMENSION[info.dimension](value, units);
  return `${decimal(shown.value, DIGITS[shown.unit] ?? 1)}\u202f${shown.unit}`;
}
