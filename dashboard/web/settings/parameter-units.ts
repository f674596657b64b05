import { decimal } from '../words/figures.ts';
import { mass, output, pressure, type Quantity, type Units } from '../words/units.ts';

/**
 * A statistical parameter in the hall's units; its unit may go on in words, as in "bar of sag".
 *
 * @param value in the unit that the service gives
 */
export function parameterInUnits(value: number, unit: string, units: Units): Quantity {
  if (units === 'metric') return { value, unit };
  for (const [name, convert] of CONVERTED)
    if (unit === name || unit.startsWith(`${name} `)) {
      const told = convert(value, units);
      return { value: told.value, unit: `${told.unit}${unit.slice(name.length)}` };
    }
  return unit.endsWith(PER_KG)
    ? { value: value / mass(1, units).value, unit: `${unit.slice(0, -PER_KG.length)}${PER_LB}` }
    : { value, unit };
}

/** The same in what is said of a parameter: "4 % per 100 kg" as "1.8 % per 100 lb". */
export function saidInUnits(sentence: string, units: Units): string {
  if (units === 'metric') return sentence;
  return sentence.replace(
    /(\d[\d.]*) % per 100 kg\b/g,
    (_, number: string) => `${decimal(Number(number) / mass(1, units).value, 1)} % ${PER_LB}`,
  );
}

const PER_KG = 'per 100 kg';
const PER_LB = 'per 100 lb';
const CONVERTED = [
  ['g/min', output],
  ['bar', pressure],
] as const;
