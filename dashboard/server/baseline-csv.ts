import type { BaselineAnswer } from '../../analyzer/index.ts';
import { formatTime } from '../../collector/contract/index.ts';
import { csvText } from './csv-text.ts';

const HEAD = [
  ...['what', 'powder', 'output [g/min]', 'conveying air [m3/h]', 'lowest 80 % [m3/h]', 'highest 80 % [m3/h]'],
  ...['from', 'to', 'runs', 'spray minutes', 'why left out'],
];

/** A gun's baseline as CSV (RFC 4180): the curve of each powder with its band, then the points. */
export function baselineCsv({ powders, points }: BaselineAnswer): string {
  const curves = powders.flatMap(({ powder, curve }) =>
    curve.map(({ output, air, low, high }) => ['curve', powder, output, air, low, high, '', '', '', '', '']),
  );
  const rows = points.map(({ kind, powder, output, air, from, to, runs, minutes, why }) => [
    ...[kind, powder, output, air, '', '', formatTime(from), formatTime(to), runs, minutes, why],
  ]);
  return csvText(HEAD, [...curves, ...rows]);
}
