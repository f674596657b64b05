import { expect, test } from 'vitest';
import { startCut } from '../../../analyzer/runs/cut-state.ts';
import { settleFacts } from '../../../analyzer/runs/settle-facts.ts';

const HOUR = 3_600_000;

test('facts that are over leave a state, and what refers to those that stay still finds them', () => {
  const state = startCut();
  state.lastTime = 100 * HOUR;
  state.facts = [
    { kind: 'silence', station: 'gun-1', time: HOUR, until: 2 * HOUR },
    { kind: 'no-air', station: 'gun-1', time: 3 * HOUR, noticed: 3 * HOUR, until: null },
    { kind: 'silence', station: 'gun-1', time: 4 * HOUR, until: 5 * HOUR },
    { kind: 'stuck', station: 'gun-1', channel: 'trigger', time: 6 * HOUR, noticed: 7 * HOUR, until: null },
    { kind: 'silence', station: 'gun-1', time: 40 * HOUR, until: 50 * HOUR },
  ];
  state.airlessFact = 1;
  state.triggerFact = 3;
  const settled = settleFacts(state, 50 * HOUR);
  expect(settled.map(({ time }) => time / HOUR)).toEqual([1, 4]);
  expect(state.facts.map(({ time }) => time / HOUR)).toEqual([3, 6, 40]);
  expect(state.facts[state.airlessFact]!.kind).toBe('no-air');
  expect(state.facts[state.triggerFact]!.kind).toBe('stuck');
  expect(state.settledBefore).toBe(50 * HOUR);
  expect(settleFacts(state, 49 * HOUR)).toEqual([]);
});

test('nothing is settled up to the newest reading: an open pull may still end a fact there', () => {
  const state = startCut();
  state.lastTime = 10 * HOUR;
  settleFacts(state, 20 * HOUR);
  expect(state.settledBefore).toBeLessThan(state.lastTime);
  expect(state.settledBefore).toBeGreaterThan(9 * HOUR);
});
