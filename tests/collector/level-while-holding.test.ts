import { execFileSync } from 'node:child_process';
import { expect, test } from 'vitest';

/** Niceness of a thread as it starts, runs behind, holds a lock, and has let go of it. */
function niceness(before: string): number[] {
  const module = new URL('../../collector/level-while-holding.ts', import.meta.url).href;
  const script = `import { getPriority } from 'node:os';
    import { levelWhileHolding } from ${JSON.stringify(module)};
    ${before}
    const seen = [getPriority()];
    const onHold = levelWhileHolding(9);
    seen.push(getPriority());
    for (const holds of [true, false]) {
      onHold(holds);
      seen.push(getPriority());
    }
    console.log(JSON.stringify(seen));`;
  const args = ['--import', 'tsx', '--input-type=module', '--eval', script];
  return JSON.parse(execFileSync(process.execPath, args, { encoding: 'utf8' })) as number[];
}

const isRoot = process.platform === 'linux' && process.getuid?.() === 0;

test.skipIf(!isRoot)('a thread that may is level with the others while it holds what they wait for', () => {
  const [level, behind, holding, after] = niceness('');
  expect([behind, holding, after]).toEqual([9, level, 9]);
});

test.skipIf(!isRoot)('one that may not come back runs behind all the time', () => {
  expect(niceness('process.setgid(65534); process.setuid(65534);').slice(1)).toEqual([9, 9, 9]);
});
