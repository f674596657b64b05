import type { BaselineAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderName } from '../words/baseline-words.ts';
import { csvOf } from '../words/csv-of.ts';
import { isoWithOffset } from '../words/local-field.ts';
import { flow, output } from '../words/units.ts';

/** The pump curves with their bands, then the points that stand on the page, in its units and time zone, as CSV. */
export function baselineCsv(
  { powders, points }: BaselineAnswer,
  site: Pick<Site, 'units' | 'timezone' | 'powders'>,
): string {
  const { units, timezone } = site;
  const named = (powder: string): string => (powder === '' ? '' : powderName(powder, site));
  const [outputUnit, airUnit] = [output(0, units).unit, flow(0, units).unit];
  const ofOutput = (value: number) => ({ value: output(value, units).value, digits: 2 });
  const ofAir = (value: number) => ({ value: flow(value, units).value, digits: 4 });
  const curves = powders.flatMap(({ powder, curve }) =>
    curve.map((one) => [
      ...['curve', powder, ofOutput(one.output), ofAir(one.air), ofAir(one.low), ofAir(one.high)],
      ...[null, null, null, null, null, named(powder)],
    ]),
  );
  const rows = points.map(({ kind, powder, output: at, air, from, to, runs, minutes, why }) => [
    ...[kind, powder, ofOutput(at), ofAir(air), null, null],
    ...[isoWithOffset(from, timezone), isoWithOffset(to, timezone)],
    ...[{ value: runs, digits: 0 }, { value: minutes, digits: 1 }, why, named(powder)],
  ]);
  const head = [
    ...['what', 'powder', `output [${outputUnit}]`, `conveying air [${airUnit}]`],
    ...[`lowest 80 % [${airUnit}]`, `highest 80 % [${airUnit}]`],
    ...[`from (${timezone})`, `to (${timezone})`, 'runs', 'spray minutes', 'why left out', 'powder name'],
  ];
  return csvOf(head, [...curves, ...rows]);
}
