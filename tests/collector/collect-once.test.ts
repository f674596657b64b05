import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { collectOnce } from '../../collector/collect-once.ts';

it('collecting once lets go of what nobody refers to, and leaves no collector to call', async () => {
  const gone = new WeakRef({ much: new Array(1000).fill(0) });
  // A reference that was just made lives until the present job ends.
  await new Promise((resolve) => setImmediate(resolve));
  collectOnce();
  expect(gone.deref()).toBeUndefined();
  expect(runInNewContext('typeof gc')).toBe('undefined');
});
