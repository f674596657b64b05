import { decimal } from './figures.ts';
import { flow, mass, output, pressure, type Quantity, type Units } from './units.ts';

const NNBSP = '\u202f';

/** Units in sentences of the service, how they are told, and with how many decimals where they are converted. */
const TOLD: Readonly<Record<string, readonly [convert: (value: number, units: Units) => Quantity, digits: number]>> = {
  kg: [mass, 0],
  'g/min': [output, 1],
  bar: [pressure, 0],
  'm³/h': [flow, 2],
};

/** Cubic feet in a cubic metre. Source: NIST SP 811 (2008), appendix B, 1 ft = 0.3048 m exactly. */
const FT3_PER_M3 = 1 / 0.3048 ** 3;

/** "0.09 to 0.12 kWh per m³" as "2.5 to 3.4 kWh per 1000 ft³". */
function energyInUnits(sentence: string, units: Units): string {
  if (units === 'metric') return sentence;
  const thousand = (value: string): string => decimal((Number(value) / FT3_PER_M3) * 1000, 1);
  return sentence.replace(
    /(\d[\d.]*) to (\d[\d.]*) kWh per m³/g,
    (_, low: string, high: string) => `${thousand(low)} to ${thousand(high)} kWh per 1000 ft³`,
  );
}

/** Quantities in a sentence of the service in the plant's units, their thousands set apart: "548 kg left" as "1 208 lb left". */
export function inUnits(sentence: string, units: Units): string {
  return energyInUnits(sentence, units).replace(
    /(\d+(?:\.(\d+))?) (kg|g\/min|bar|m³\/h)(?![\w/³])/g,
    (whole, number, fraction, unit) => {
      const [convert, digits] = TOLD[unit]!;
      const { value, unit: name } = convert(Number(number), units);
      if (name === unit && value < 1000) return whole;
      return `${decimal(value, name === unit ? String(fraction ?? '').length : digits)}${NNBSP}${name}`;
    },
  );
}
