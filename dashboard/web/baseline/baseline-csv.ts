import type { BaselineAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { csvOf } from '../words/csv-of.ts';
import { isoWithOffset } from '../words/site-time.ts';
import { flow, output } from '../words/units.ts';

/** The pump curves with their bands, then the points that stand on the page, in its units and time zone, as CSV. */
export function baselineCsv(
  { powders, points }: BaselineAnswer,
  { units, timezone }: Pick<Site, 'units' | 'timezone'>,
): string {
  const [outputUnit, airUnit] = [output(0, units).unit, flow(0, units).unit];
  const ofOutput = (value: number) => ({ value: output(value, units).value, digits: 2 });
  const ofAir = (value: number) => ({ value: flow(value, units).value, digits: 4 });
  const curves = powders.flatMap(({ powder, curve }) =>
    curve.map((one) => [
      ...['curve', powder, ofOutput(one.output), ofAir(one.air), ofAir(one.low), ofAir(one.high)],
      ...[null, null, null, null, null],
    ]),
  );
  const rows = points.map(({ kind, powder, output: at, air, from, to, runs, minutes, why }) => [
    ...[kind, powder, ofOutput(at), ofAir(air), null, null],
    ...[isoWithOffset(from, timezone), isoWithOffset(to, timezone)],
    ...[{ value: runs, digits: 0 }, { value: minutes, digits: 1 }, why],
  ]);
  const head = [
    ...['what', 'powder', `output [${outputUnit}]`, `conveying air [${airUnit}]`],
    ...[`lowest 80 % [${airUnit}]`, `highest 80 % [${airUnit}]`],
    ...[`from (${timezone})`, `to (${timezone})`, 'runs', 'spray minutes', 'why left out'],
  ];
  return csvOf(head, [...curves, ...rows]);
}
