import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A server of Debian in a folder of its own, which can be killed and started again on the same port and data. */
export class TestServer {
  readonly dir = mkdtempSync(join(tmpdir(), 'driftline-server-'));
  readonly url: string;
  readonly #command: readonly string[];
  readonly #ready: string;
  #child: ChildProcess | null = null;

  private constructor(port: number, command: (dir: string, port: number) => string[], ready: string) {
    this.url = `http://127.0.0.1:${port}`;
    this.#command = command(this.dir, port);
    this.#ready = ready;
  }

  static async influx1(): Promise<TestServer> {
    return new TestServer(await freePort(), influxCommand, '/ping');
  }

  static async victoria(): Promise<TestServer> {
    const command = (dir: string, port: number): string[] => [
      '/usr/bin/victoria-metrics',
      `-storageDataPath=${join(dir, 'data')}`,
      `-httpListenAddr=127.0.0.1:${port}`,
      '-retentionPeriod=100y',
      '-search.latencyOffset=0s',
    ];
    return new TestServer(await freePort(), command, '/health');
  }

  /** Resolves once it answers. */
  async start(): Promise<void> {
    if (this.#child !== null && this.#child.exitCode === null && this.#child.signalCode === null) return;
    const [program = '', ...args] = this.#command;
    const child = spawn(program, args, { stdio: 'ignore' });
    this.#child = child;
    for (let left = 200; left > 0; left--) {
      const answer = await fetch(`${this.url}${this.#ready}`).catch(() => null);
      if (answer?.ok) return;
      if (child.exitCode !== null) throw new Error(`${program} ended with ${child.exitCode}`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`${program} does not answer`);
  }

  /** @returns whether it was running */
  async kill(): Promise<boolean> {
    const child = this.#child;
    this.#child = null;
    if (child === null || child.exitCode !== null) return false;
    const ended = once(child, 'exit');
    child.kill('SIGKILL');
    await ended;
    return child.signalCode === 'SIGKILL';
  }

  async end(): Promise<void> {
    await this.kill();
    rmSync(this.dir, { recursive: true, force: true });
  }
}

function influxCommand(dir: string, port: number): string[] {
  for (const name of ['meta', 'data', 'wal']) mkdirSync(join(dir, name));
  const file = join(dir, 'influxdb.conf');
  writeFileSync(
    file,
    `reporting-disabled = true
bind-address = "127.0.0.1:0"
[meta]
  dir = "${join(dir, 'meta')}"
[data]
  dir = "${join(dir, 'data')}"
  wal-dir = "${join(dir, 'wal')}"
[http]
  bind-address = "127.0.0.1:${port}"
  log-enabled = false
`,
  );
  return ['/usr/bin/influxd', '-config', file];
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, 'close');
  return port;
}
