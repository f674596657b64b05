// `npm run bench -- [parts] [--quick] [--rounds N] [--out FILE]`: speed and memory as one table. Nothing is asserted.

import { appendFileSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { analyzePart } from './analyze.bench.ts';
import { attacksPart } from './attacks.bench.ts';
import { floodPart } from './flood.bench.ts';
import { intakePart, slowDiskPart } from './intake.bench.ts';
import { replayPart } from './replay.bench.ts';
import { stagesPart } from './stages.bench.ts';
import { stationsPart } from './stations.bench.ts';
import { storePart } from './store.bench.ts';
import { type Part, TABLE_HEAD, table } from './table.ts';

const PARTS: readonly Part[] = [
  storePart,
  analyzePart,
  stagesPart,
  replayPart,
  intakePart,
  slowDiskPart,
  floodPart,
  attacksPart,
  stationsPart,
];

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { quick: { type: 'boolean', default: false }, rounds: { type: 'string' }, out: { type: 'string' } },
});
const names = PARTS.map(({ name }) => name);
const unknown = positionals.filter((name) => !names.includes(name));
if (unknown.length > 0) throw new Error(`no such part: ${unknown.join(' ')}; expected some of ${names.join(' ')}`);
const rounds = Number(values.rounds ?? (values.quick ? 1 : 5));
if (!(Number.isInteger(rounds) && rounds > 0))
  throw new Error(`--rounds ${values.rounds}: expected a whole number above 0`);
const parts = positionals.length > 0 ? PARTS.filter(({ name }) => positionals.includes(name)) : PARTS;

function print(text: string): void {
  process.stdout.write(text);
  if (values.out !== undefined) appendFileSync(values.out, text);
}

const load = (): string =>
  loadavg()
    .map((number) => number.toFixed(1))
    .join(' ');
if (values.out !== undefined) writeFileSync(values.out, '');
print(`${availableParallelism()} processors (${cpus()[0]?.model ?? '?'}), Node ${process.version}, ${rounds} rounds, `);
print(`${values.quick ? 'quick, ' : ''}load average at the start ${load()}\n\n${TABLE_HEAD}`);
for (const part of parts) print(table(part.name, await part.run({ quick: values.quick, rounds })));
print(`\nload average at the end ${load()}\n`);
