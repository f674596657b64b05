import { expect, test } from 'vitest';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { headOf, PANELS } from '../../../dashboard/web/history/panels.ts';
import { EMPTY_HISTORY } from './empty-history.ts';

const panel = PANELS.find(({ id }) => id === 'conductance')!;
const answer = (...names: string[]): HistoryAnswer => ({
  ...EMPTY_HISTORY,
  times: [1],
  series: names.map((name) => ({ name, unit: 'dm3/(s.bar)', low: [1], mid: [1], high: [1] }) as never),
});

test('a chart in a saved picture names its lines, also one that the gun beside alone has, each once', () => {
  const one = answer('conveyingConductance');
  expect(headOf(panel, [one], 'metric')).toBe('Conductance of the air lines, dm³/(s·bar)');
  expect(headOf(panel, [one, answer('conveyingConductance', 'fluidizingConductance')], 'metric')).toBe(
    'Conductance of the air lines, dm³/(s·bar) · ━━\u00a0Conveying  ····\u00a0Fluidizing',
  );
});
