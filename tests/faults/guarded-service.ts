import { execFileSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { Plant } from '../../collector/contract/index.ts';
import { addStation, type BookTools, OperationConfig, openStore } from '../../collector/index.ts';
import { addToken } from '../../dashboard/server/index.ts';
import { startService } from '../../dashboard/service/run-service.ts';

export const ACTOR = { who: 'test', origin: 'command line', now: Date.UTC(2026, 4, 4) };

const PLANT = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-01' }, { id: 'gun-02' }],
});

/** A temporary folder, removed when the test ends. */
export function folder(): string {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-guard-'));
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

/** Makes a certificate for localhost with its key, as `openssl` does. */
export function certificate(dir: string, name: string, days = 2): { certificate: string; key: string } {
  const files = { certificate: join(dir, `${name}.crt`), key: join(dir, `${name}.key`) };
  const subject = ['-subj', `/CN=${name}`, '-addext', 'subjectAltName=DNS:localhost,IP:127.0.0.1', '-days', `${days}`];
  const args = ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', ...subject];
  execFileSync('openssl', [...args, '-keyout', files.key, '-out', files.certificate], { stdio: 'ignore' });
  return files;
}

/** One that holds from one time to another, epoch ms: `openssl req` only makes those that hold from now on. */
export function certificateBetween(dir: string, name: string, from: number, to: number) {
  const files = certificate(dir, name);
  const file = (ending: string): string => join(dir, `${name}.${ending}`);
  const at = (time: number): string => `${new Date(time).toISOString().replace(/[-:T]/g, '').slice(0, 14)}Z`;
  const sections = {
    ca: ['default_ca=own'],
    own: [
      ...[`database=${file('db')}`, `new_certs_dir=${dir}`, 'rand_serial=yes', 'default_md=sha256'],
      ...['policy=names', 'copy_extensions=copy', 'x509_extensions=more'],
    ],
    names: ['commonName=supplied'],
    more: ['basicConstraints=critical,CA:TRUE'],
  };
  const lines = Object.entries(sections).flatMap(([section, entries]) => [`[${section}]`, ...entries]);
  writeFileSync(file('cnf'), `${lines.join('\n')}\n`);
  writeFileSync(file('db'), '');
  const run = (...args: string[]) => execFileSync('openssl', args, { stdio: 'ignore' });
  const subject = ['-subj', `/CN=${name}`, '-addext', 'subjectAltName=DNS:localhost,IP:127.0.0.1'];
  run('req', '-new', '-key', files.key, ...subject, '-out', file('csr'));
  const own = ['-selfsign', '-config', file('cnf'), '-keyfile', files.key, '-in', file('csr')];
  const span = ['-startdate', at(from), '-enddate', at(to)];
  run('ca', '-batch', '-notext', ...own, ...span, '-out', files.certificate);
  return files;
}

/** The whole service in this process, with the lines of its log. */
export async function guardedService(config: object, dir = folder()) {
  const lines: string[] = [];
  const say = (fields: object, message: string): void => {
    lines.push(JSON.stringify({ ...fields, message }));
  };
  const service = await startService({
    plant: PLANT,
    dir,
    settings: null,
    config: OperationConfig.parse({
      broker: { port: 0 },
      ...config,
      http: { port: 0, ...(config as { http?: object }).http },
    }),
    log: { info: say, warn: say, error: say },
  });
  onTestFinished(() => service.stop());
  /** Accounts as another program on the same folder changes them. */
  const book: BookTools = { store: openStore(dir), random: randomBytes };
  onTestFinished(() => book.store.close());
  return { ...service, service, dir, lines, book };
}

/** Secret of a new station, made as the command line makes it. */
export function stationSecret(book: BookTools, name: string, kind: 'station' | 'reader' = 'station'): string {
  return addStation(book, { name, kind }, null, ACTOR).secret;
}

/** Secret of a new token or wall link. */
export function tokenSecret(book: BookTools, kind: 'api' | 'wall', role: 'wall' | 'fitter' | 'administrator'): string {
  return addToken(book, { name: `${kind} ${role}`, kind, role }, ACTOR).secret;
}

/** A connected client of the service's broker, ended when the test ends. */
export async function client(url: string, options: IClientOptions): Promise<MqttClient> {
  const connected = await connectAsync(url, { protocolVersion: 4, reconnectPeriod: 0, ...options }, false);
  onTestFinished(() => connected.endAsync(true).then(() => undefined));
  return connected;
}
