import { expect, it } from 'vitest';
import { newGunMemory, newInsert } from '../../../analyzer/baseline/gun-memory.ts';
import { SETTLED_HOURS } from '../../../analyzer/diagnose/fallen-wear.ts';
import { isSettled } from '../../../analyzer/diagnose/step-end.ts';

it('a gain tells of an insert of unknown age only after its first hours, of one that was logged at once', () => {
  const memory = newGunMemory('gun-01', 'value');
  expect(isSettled(memory, SETTLED_HOURS - 0.1)).toBe(false);
  expect(isSettled(memory, SETTLED_HOURS)).toBe(true);
  // A baseline that is learnt anew begins to settle anew.
  memory.commissioned = { atHours: 100 } as typeof memory.commissioned;
  expect(isSettled(memory, 100 + SETTLED_HOURS - 0.1)).toBe(false);
  memory.insert = newInsert(1, true, 0);
  expect(isSettled(memory, 1)).toBe(true);
});
