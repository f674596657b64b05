import { writeSync } from 'node:fs';
import { startWriter } from '../../../collector/index.ts';
import { killedPack } from './killed-pack.ts';

// Commits packs from a number on, several at a time, as fast as it can; says each number once it is durable.
// The tail is short, so that it becomes chunks all the time.
const [dir = '', from = '0'] = process.argv.slice(2);
const writer = await startWriter(dir, { tailBytes: 100_000 });
let next = Number(from);

async function commitForEver(): Promise<void> {
  for (;;) {
    const number = next++;
    await writer.commit({ packs: [killedPack(number)], counters: { packs: 1 } });
    writeSync(1, `${number}\n`);
  }
}

await Promise.all(Array.from({ length: 8 }, commitForEver));
