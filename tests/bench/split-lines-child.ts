import { createReadStream } from 'node:fs';
import { createGunzip } from 'node:zlib';

// What reading any text file costs at least: gunzip, and each line as a string; prints how many there were.

let lines = 0;
let characters = 0;
for (const path of process.argv.slice(2)) {
  let rest = '';
  for await (const chunk of createReadStream(path).pipe(createGunzip())) {
    const pieces = (rest + (chunk as Buffer).toString('latin1')).split('\n');
    rest = pieces.pop()!;
    for (const line of pieces) characters += line.length;
    lines += pieces.length;
  }
}
process.stdout.write(`${lines} ${characters}\n`);
