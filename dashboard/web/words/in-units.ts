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

/** Quantities in a sentence of the service in the plant's units, their thousands set apart: "548 kg left" as "1 208 lb left". */
export function inUnits(sentence: string, units: Units): string {
  return sentence.replace(/(\d+(?:\.(\d+))?) (kg|g\/min|bar|m³\/h)(?![\w/³])/g, (whole, number, fraction, unit) => {
    const [convert, digits] = TOLD[unit]!;
    const { value, unit: name } = convert(Number(number), units);
    if (name === unit && value < 1000) return whole;
    return `${decimal(value, name === unit ? String(fraction ?? '').length : digits)}${NNBSP}${name}`;
  });
}
