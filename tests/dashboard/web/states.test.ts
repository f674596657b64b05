import { expect, test } from 'vitest';
import { nothingToDo } from '../../../dashboard/web/words/states.ts';

test.each([
  [['good', 'good'], 'Nothing: all guns are well.'],
  [['good', 'learning', 'unknown'], 'Nothing. Of 3 guns 2 are not judged yet.'],
  [['unknown'], 'Nothing. Of 1 gun 1 is not judged yet.'],
  [['good', 'function-check'], 'Nothing.'],
])('of guns that are %j a report without jobs says “%s”', (states, said) => {
  expect(nothingToDo(states)).toBe(said);
});
