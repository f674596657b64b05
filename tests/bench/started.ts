import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';

export const PROGRAM = process.env.BENCH_PROGRAM ?? fileURLToPath(new URL('../../dist/driftline.js', import.meta.url));
/** A module of the built program, by its path in `dist`. */
export const built = async <Module>(path: string): Promise<Module> =>
  (await import(new URL(path, pathToFileURL(PROGRAM)).href)) as Module;

const MOSQUITTO = '/usr/sbin/mosquitto';
/** Ticks of /proc a second. Source: proc(5), sysconf(_SC_CLK_TCK), 100 on Linux's usual platforms. */
const TICKS = 100;

/** A broker under load, in a process of its own. */
export interface Started {
  readonly port: number;
  /** Processor seconds used so far, and most memory held, MB. */
  cpuSeconds(): number;
  peakMb(): number;
  stop(): Promise<void>;
}

function started(child: ChildProcess, port: number): Started {
  return {
    port,
    cpuSeconds: () => cpuSecondsOf(child),
    peakMb: () => Number(/VmHWM:\s+(\d+)/.exec(procOf(child, 'status'))?.[1]) / 1024,
    stop: () => stop(child),
  };
}

const procOf = ({ pid }: ChildProcess, file: string): string => readFileSync(`/proc/${pid}/${file}`, 'utf8');

function cpuSecondsOf(child: ChildProcess): number {
  const fields = procOf(child, 'stat').split(') ')[1]!.split(' ');
  return (Number(fields[11]) + Number(fields[12])) / TICKS;
}

async function stop(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const exited = once(child, 'exit');
  child.kill('SIGTERM');
  await exited;
}

/** The built service with a plant of so many guns, in a folder. */
export async function startDriftline(
  dir: string,
  guns: number,
  data: string,
  environment: NodeJS.ProcessEnv = {},
): Promise<Started> {
  const plant = join(dir, 'plant.yaml');
  const ids = Array.from({ length: guns }, (_, gun) => `  - { id: ${gunName(gun)} }\n`);
  writeFileSync(plant, `site: { id: hall-1, timezone: Europe/Vienna }\nguns:\n${ids.join('')}`);
  const args = ['serve', '--plant', plant, '--data', join(dir, data), '--mqtt-port', '0', '--http-port', '0'];
  const env = { ...process.env, ...environment };
  const child = spawn(process.execPath, [PROGRAM, ...args], { env, stdio: ['ignore', 'ignore', 'pipe'] });
  const port = await new Promise<number>((resolve, reject) => {
    let text = '';
    child.stderr.setEncoding('utf8').on('data', (more: string) => {
      text += more;
      const ready = /mqtt=mqtt:\/\/[^:]+:(\d+)/.exec(text);
      if (ready) resolve(Number(ready[1]));
    });
    child.once('exit', () => reject(new Error(`the service ended: ${text}`)));
  });
  return started(child, port);
}

interface StartedHttp {
  readonly url: string;
  /** Until it works at nothing, as an hour after its start. */
  rests(): Promise<void>;
  stop(): Promise<void>;
}

/** Work of one second below which a service rests, ms. Source: own choice, its timers alone take less. */
const RESTING_MS = 60;

/** The built service on a plant file and a data folder, for what it answers over HTTP. */
export async function startHttp(plant: string, data: string): Promise<StartedHttp> {
  const args = ['serve', '--plant', plant, '--data', data, '--mqtt-port', '0', '--http-port', '0'];
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', 'ignore', 'pipe'] });
  const url = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stderr.setEncoding('utf8').on('data', (more: string) => {
      text += more;
      const ready = /^ready mqtt=\S+ http=(\S+)$/m.exec(text);
      if (ready) resolve(ready[1]!);
    });
    child.once('exit', () => reject(new Error(`the service ended: ${text}`)));
  });
  const cpuMs = (): number => cpuSecondsOf(child) * 1e3;
  const rests = async (): Promise<void> => {
    for (let [before, after] = [Number.NEGATIVE_INFINITY, cpuMs()]; after - before > RESTING_MS; ) {
      before = after;
      await setTimeout(1000);
      after = cpuMs();
    }
  };
  return { url, rests, stop: () => stop(child) };
}

export const gunName = (gun: number): string => `gun-${String(gun).padStart(4, '0')}`;

/** Mosquitto, which acknowledges from memory; null where it is not installed. */
export async function startMosquitto(dir: string): Promise<Started | null> {
  if (!existsSync(MOSQUITTO)) return null;
  const port = await freePort();
  const file = join(dir, 'mosquitto.conf');
  const lines = [`listener ${port} 127.0.0.1`, 'allow_anonymous true', 'persistence false', 'set_tcp_nodelay true'];
  writeFileSync(file, `${lines.join('\n')}\n`);
  const child = spawn(MOSQUITTO, ['-c', file], { stdio: ['ignore', 'ignore', 'pipe'] });
  await new Promise<void>((resolve, reject) => {
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      if (text.includes('running')) resolve();
    });
    child.once('exit', () => reject(new Error('Mosquitto ended')));
  });
  return started(child, port);
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, 'close');
  return port;
}

/** What a program that ran to its end took. */
export interface Took {
  readonly seconds: number;
  readonly cpuSeconds: number;
  readonly peakMb: number;
}

const REPORT = `process.on('exit', () => { const u = process.resourceUsage();
require('node:fs').writeFileSync(process.env.BENCH_REPORT, JSON.stringify([u.userCPUTime + u.systemCPUTime, u.maxRSS])); });`;

/** Runs Node on a script, its output thrown away. @throws {Error} when it fails */
export async function runNode(dir: string, args: readonly string[]): Promise<Took> {
  const [preload, report] = [join(dir, 'report.cjs'), join(dir, 'report.json')];
  writeFileSync(preload, REPORT);
  const env = { ...process.env, BENCH_REPORT: report };
  const began = performance.now();
  const child = spawn(process.execPath, ['--require', preload, ...args], { env, stdio: ['ignore', 'ignore', 'pipe'] });
  let text = '';
  child.stderr.setEncoding('utf8').on('data', (more: string) => {
    text += more;
  });
  const [status] = await once(child, 'close');
  const seconds = (performance.now() - began) / 1e3;
  if (status !== 0) throw new Error(`${args[0]} ended with ${status}: ${text}`);
  const [cpu, rss] = JSON.parse(readFileSync(report, 'utf8')) as [number, number];
  return { seconds, cpuSeconds: cpu / 1e6, peakMb: rss / 1024 };
}

export const runDriftline = (dir: string, args: readonly string[]): Promise<Took> => runNode(dir, [PROGRAM, ...args]);
