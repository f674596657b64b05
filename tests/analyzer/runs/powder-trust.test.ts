import { describe, expect, it } from 'vitest';
import { settleFacts } from '../../../analyzer/runs/settle-facts.ts';
import { cut } from './cut.ts';
import { type Instant, sprayed } from './station-frames.ts';

const HOUR = 3_600_000;
const START = 1_750_000_000_000;
const POWDERS = ['p-1', 'p-2', 'p-3', 'p-4'];

/** An hour of pulls with one powder, from an hour on. */
const hour = (at: number, powder: string): Instant[] =>
  sprayed(
    Array.from({ length: 60 }, () => ({ sprayMs: 20_000, idleMs: 40_000, powder })),
    { start: START + at * HOUR, seed: at + 1 },
  );
/** The same with another name at each reading. */
const muddled = (history: readonly Instant[]): Instant[] =>
  history.map((instant, index) => ({ ...instant, powder: POWDERS[(index * 7) % 4]! }));

describe('the name of the powder', () => {
  it('is not believed while it changes faster than powder can, which is told, and is believed again later', () => {
    const history = [...hour(0, 'p-1'), ...muddled(hour(1, 'p-1')), ...hour(2, 'p-1'), ...hour(9, 'p-2')];
    const { state, runs, column } = cut(history);
    const [fact, ...others] = state.facts.filter(({ kind }) => kind === 'stuck');
    expect(others).toEqual([]);
    expect(fact).toMatchObject({ channel: 'powder/id', until: START + 9 * HOUR });
    expect((fact as { noticed: number }).noticed - START - HOUR).toBeLessThan(2 * 60_000);
    const { powders } = runs.table();
    const starts = column('start');
    const named = column('powder').map((place) => powders[place] ?? '');
    const during = named.filter((_, row) => starts[row]! > START + 1.1 * HOUR && starts[row]! < START + 3 * HOUR);
    expect(new Set(during)).toEqual(new Set(['']));
    expect(named.at(-1)).toBe('p-2');
    expect(named[0]).toBe('p-1');
  });

  it('is believed where powder is changed as often as hands can', () => {
    // Eight changes an hour, for half a day.
    const history = Array.from({ length: 6 }, (_, at) => hour(at, 'p-1')).flat();
    const busy = history.map((instant) => ({
      ...instant,
      powder: POWDERS[Math.floor((instant.time - START) / (HOUR / 8)) % 4]!,
    }));
    const { state, column } = cut(busy);
    expect(state.facts.filter(({ kind }) => kind === 'stuck')).toEqual([]);
    expect(new Set(column('powder')).size).toBe(4);
  });

  it('keeps its open fact where facts that are over are taken out of the state', () => {
    const { state } = cut([
      { time: START - 5 * HOUR, 'supply/pressure': 6 },
      ...hour(0, 'p-1'),
      ...muddled(hour(1, 'p-1')),
    ]);
    expect(settleFacts(state, START + 1.5 * HOUR)).toMatchObject([{ kind: 'silence' }]);
    expect(state.facts[state.powderTrust.fact]).toMatchObject({ kind: 'stuck', channel: 'powder/id', until: null });
  });
});
