import type { BaselineAnswer } from '../../analyzer/index.ts';
import { formatTime, type Plant, powderNames } from '../../collector/contract/index.ts';
import { csvText } from './csv-text.ts';

const HEAD = [
  ...['what', 'powder', 'output [g/min]', 'conveying air [m3/h]', 'lowest 80 % [m3/h]', 'highest 80 % [m3/h]'],
  ...['from', 'to', 'runs', 'spray minutes', 'why left out', 'powder name'],
];

/** A gun's baseline as CSV (RFC 4180): the curve of each powder with its band, then the points; the plant file's name of the powder last. */
export function baselineCsv({ powders, points }: BaselineAnswer, plant: Pick<Plant, 'powders'>): string {
  const names = powderNames(plant);
  const curves = powders.flatMap(({ powder, curve }) =>
    curve.map(({ output, air, low, high }) => [
      'curve',
      powder,
      output,
      air,
      low,
      high,
      '',
      '',
      '',
      '',
      '',
      names.get(powder) ?? '',
    ]),
  );
  const rows = points.map(({ kind, powder, output, air, from, to, runs, minutes, why }) => [
    ...[
      kind,
      powder,
      output,
      air,
      '',
      '',
      formatTime(from),
      formatTime(to),
      runs,
      minutes,
      why,
      names.get(powder) ?? '',
    ],
  ]);
  return csvText(HEAD, [...curves, ...rows]);
}
