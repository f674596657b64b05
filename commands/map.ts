import { readFile } from 'node:fs/promises';
import process from 'node:process';
import type { Command } from 'commander';
import { AppError, counted, parseIsoTime, printable, quoted } from '../collector/contract/index.ts';
import { readConfig, readPlant, type Tried, tryMapping } from '../collector/index.ts';
import { another } from './arguments.ts';
import { command } from './command.ts';
import { err, out } from './standard-streams.ts';

interface TryFlags {
  config: string;
  plant?: string;
  topic: string[];
  message: string[];
  at?: string;
  json: boolean;
}

export function addMap(program: Command): void {
  const map = command(program, 'map', 'Mapped JSON and Sparkplug.');
  command(map, 'try', 'Show what a captured message becomes; nothing is stored.')
    .requiredOption('--config <file>', 'configuration (YAML) with mappings or sparkplug')
    .requiredOption('--topic <topic>', 'topic it came on; once for each message', another)
    .requiredOption(
      '--message <file>',
      'its payload, "-" for standard input; several are taken in turn, as a birth and data, and the last one is shown',
      another,
    )
    .option('--plant <file>', 'plant file (YAML), for its stations, ranges and reference states')
    .option('--at <time>', 'as if received then, ISO 8601 with offset; default now')
    .option('--json', 'print it as JSON', false)
    .action(tryMessages);
}

async function tryMessages({ config: file, plant: plantFile, topic, message, at, json }: TryFlags): Promise<void> {
  if (topic.length !== message.length)
    throw new AppError(
      'USAGE',
      `found ${topic.length} --topic and ${message.length} --message, expected as many of each`,
    );
  const receivedAt = at === undefined ? Date.now() : parseIsoTime(at);
  if (!Number.isFinite(receivedAt))
    throw new AppError('USAGE', `--at: found ${quoted(at)}, expected a time such as 2026-03-02T09:10:00Z`);
  const config = await readConfig(file, { environment: process.env, flags: {} });
  const plant = plantFile === undefined ? null : await readPlant(plantFile);
  const payloads = await Promise.all(message.map(readMessage));
  const messages = topic.map((name, index) => ({ topic: name, payload: payloads[index]! }));
  if (plant === null) await err.write('without --plant: its stations, ranges and reference states are not applied\n');
  const tried = tryMapping({ config, plant, messages, receivedAt });
  if (json) await out.write(`${JSON.stringify(tried, null, 2)}\n`);
  else await out.write(asText(tried, topic.at(-1)!));
}

async function readMessage(file: string): Promise<Buffer> {
  try {
    if (file !== '-') return await readFile(file);
    const chunks: Buffer[] = [];
    for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
    return Buffer.concat(chunks);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const found = code === 'ENOENT' ? 'no such file' : (code ?? 'a fault');
    throw new AppError('USAGE', `--message ${quoted(file)}: found ${found}, expected a file that can be read`, {
      cause: error,
    });
  }
}

function asText({ taken, readings, repeats, refusals, online, rebirths }: Tried, topic: string): string {
  const name = `"${printable(topic, 200)}"`;
  const lines = [
    ...(taken === 'none' ? [`topic ${name} is taken by no mapping: the message would only be passed on`] : []),
    ...readings.map(
      ({ station, channel, time, value, unit, sensor }) =>
        `${time}  ${station}  ${channel}  ${printable(String(value))}${unit === '-' ? '' : ` ${unit}`}${sensor === '' ? '' : `  (${sensor})`}`,
    ),
    ...repeats.map(
      ({ station, channel, time, value, kept }) =>
        `dropped, ${value === kept ? 'the same again' : 'a conflict'}: ${time}  ${station}  ${channel}  ${printable(String(value))}; ${printable(String(kept))} came first`,
    ),
    ...online.map((state) => `${state.station} is ${state.online ? 'online' : 'offline'}`),
    ...refusals.map(({ reason, detail }) => `refused, ${reason}: ${detail}`),
    ...rebirths.map((node) => `edge node ${node} would be asked for its births`),
    `${counted(readings.length, 'reading')}, ${counted(refusals.length, 'refusal')}`,
  ];
  return `${lines.join('\n')}\n`;
}
