import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import mqtt from 'mqtt';

const PATH = '/usr/sbin/mosquitto';

/** Whether Debian's mosquitto is there, for `describe.runIf`; installs it where this machine lets us. Says in one line when not. */
export function haveMosquitto(): boolean {
  if (existsSync(PATH)) return true;
  const apt = (...args: string[]) =>
    spawnSync('apt-get', args, { stdio: 'ignore', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } })
      .status === 0;
  if (process.getuid?.() === 0 && apt('--version')) {
    process.stderr.write(
      `${PATH} is missing; installing Debian's package mosquitto for the tests of an external broker\n`,
    );
    apt('update', '-qq');
    // The package would start a broker of its own on the usual port.
    apt('install', '-y', '-qq', '--no-install-recommends', 'mosquitto');
    if (existsSync(PATH)) return true;
  }
  process.stderr.write(`missing: ${PATH} (Debian's package mosquitto); the tests of an external broker are skipped\n`);
  return false;
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, 'close');
  return port;
}

/** Its configuration where every change goes to disk: as careful as it gets. */
export const CAREFUL = ['allow_anonymous true', 'autosave_on_changes true', 'autosave_interval 1'];

/** Debian's mosquitto on a folder and a port of its own, which it keeps across restarts. */
export class Mosquitto {
  readonly url: string;
  readonly dir: string;
  readonly port: number;
  #child: ChildProcess | null = null;

  private constructor(port: number) {
    this.port = port;
    this.url = `mqtt://127.0.0.1:${port}`;
    this.dir = mkdtempSync(join(tmpdir(), 'driftline-mosquitto-'));
  }

  /** @param lines of its configuration, beside listener and persistence */
  static async start(lines: readonly string[] = ['allow_anonymous true']): Promise<Mosquitto> {
    const broker = new Mosquitto(await freePort());
    const own = [
      `listener ${broker.port} 127.0.0.1`,
      'persistence true',
      `persistence_location ${broker.dir}/`,
      'max_queued_messages 0',
      'max_inflight_messages 0',
      'user root',
    ];
    writeFileSync(join(broker.dir, 'mosquitto.conf'), `${[...own, ...lines].join('\n')}\n`);
    await broker.run();
    return broker;
  }

  async run(): Promise<void> {
    this.#child = spawn(PATH, ['-c', join(this.dir, 'mosquitto.conf')], { stdio: 'ignore' });
    for (;;) {
      const probe = await mqtt
        .connectAsync(this.url, { reconnectPeriod: 0, connectTimeout: 500 }, false)
        .catch((error: { code?: number | string }) => error);
      if ('endAsync' in probe) {
        await probe.endAsync(true);
        return;
      }
      // Refused for want of a password: it is up.
      if (probe.code === 5 || probe.code === 135) return;
      if (this.#child.exitCode !== null) throw new Error(`mosquitto ended with ${this.#child.exitCode}`);
      await pause(20);
    }
  }

  async kill(signal: NodeJS.Signals = 'SIGKILL'): Promise<void> {
    const child = this.#child!;
    this.#child = null;
    child.kill(signal);
    await once(child, 'exit');
  }

  async end(): Promise<void> {
    if (this.#child !== null) await this.kill();
    rmSync(this.dir, { recursive: true, force: true });
  }
}
