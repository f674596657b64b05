import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The built program, as a user starts it; another build with `TEST_PROGRAM`. */
export const PROGRAM = process.env.TEST_PROGRAM ?? fileURLToPath(new URL('../../dist/driftline.js', import.meta.url));

export interface Finished {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a command of the built program to its end. */
export async function runProgram(...args: readonly string[]): Promise<Finished> {
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  const [stdout, stderr, [status]] = await Promise.all([text(child.stdout), text(child.stderr), once(child, 'close')]);
  return { status: status as number | null, stdout, stderr };
}

async function text(stream: NodeJS.ReadableStream): Promise<string> {
  let all = '';
  stream.setEncoding('utf8');
  for await (const piece of stream) all += piece as string;
  return all;
}

/** A running service of the built program. */
export interface RunningProgram {
  readonly child: ChildProcess;
  readonly mqttUrl: string;
  readonly httpUrl: string;
  readonly stderr: () => string;
  /** SIGTERM, and the exit status. */
  stop(): Promise<number | null>;
}

/** Starts `serve` or `demo` with free ports and waits for its `ready` line. */
export async function startProgram(...args: readonly string[]): Promise<RunningProgram> {
  const child = spawn(process.execPath, [PROGRAM, ...args, '--mqtt-port', '0', '--http-port', '0'], {
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let stderr = '';
  const ended = once(child, 'close') as Promise<[number | null]>;
  const ready = new Promise<RegExpExecArray>((resolve, reject) => {
    child.stderr.setEncoding('utf8').on('data', (piece: string) => {
      stderr += piece;
      const match = /^ready mqtt=(\S+) http=(\S+)$/m.exec(stderr);
      if (match) resolve(match);
    });
    ended.then(() => reject(new Error(`ended before it was ready: ${stderr}`)), reject);
  });
  const [, mqttUrl, httpUrl] = await ready;
  return {
    child,
    mqttUrl: mqttUrl!,
    httpUrl: httpUrl!,
    stderr: () => stderr,
    stop: async () => {
      child.kill('SIGTERM');
      return (await ended)[0];
    },
  };
}

/** A temporary folder with the name of its test, and how to remove it. */
export function tempFolder(name: string): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), `driftline-${name}-`));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}
