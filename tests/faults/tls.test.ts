import { execFileSync } from 'node:child_process';
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { get } from 'node:https';
import { connect, type TLSSocket } from 'node:tls';
import { expect, test, vi } from 'vitest';
import { readTls } from '../../collector/index.ts';
import {
  certificate,
  certificateBetween,
  client,
  folder,
  guardedService,
  stationSecret,
  tokenSecret,
} from './guarded-service.ts';

// Whole services start here, on machines that are busy with other tests.
vi.setConfig({ testTimeout: 90_000 });

const TLS = { mqttPort: 0, plainMqtt: 'everywhere' } as const;

interface Answer {
  readonly status: number;
  readonly cookie: string;
}

function ask(url: string, ca: Buffer): Promise<Answer> {
  return new Promise((resolve, reject) => {
    get(url, { ca }, (answer) => {
      answer.resume();
      resolve({ status: answer.statusCode ?? 0, cookie: String(answer.headers['set-cookie'] ?? '') });
    }).on('error', reject);
  });
}

/** The name in the certificate that a port shows; rejects where there is no agreement. */
function shown(url: string, options: object): Promise<string> {
  const { hostname, port } = new URL(url);
  return new Promise((resolve, reject) => {
    const socket: TLSSocket = connect(
      { host: hostname, port: Number(port), rejectUnauthorized: false, ...options },
      () => {
        resolve(String(socket.getPeerCertificate().subject.CN));
        socket.destroy();
      },
    );
    socket.on('error', reject);
  });
}

test('pages and MQTT go over TLS with the given certificate, from version 1.2 on', async () => {
  const dir = folder();
  const files = certificate(dir, 'hall');
  const ca = readFileSync(files.certificate);
  const { httpUrl, mqttsUrl, book } = await guardedService({ tls: { ...files, ...TLS }, accounts: { required: true } });
  expect([httpUrl, mqttsUrl]).toEqual([expect.stringMatching(/^https:/), expect.stringMatching(/^mqtts:/)]);
  expect((await ask(`${httpUrl}/healthz`, ca)).status).toBe(200);
  const { cookie } = await ask(`${httpUrl}/wall/${tokenSecret(book, 'wall', 'wall')}`, ca);
  expect(cookie).toMatch(/^__Host-driftline-wall=.*; Path=\/; HttpOnly; SameSite=Strict; .*Secure$/);
  await expect(fetch(httpUrl.replace('https', 'http'))).rejects.toThrow();

  const secret = stationSecret(book, 'gun-01');
  const node = await client(mqttsUrl ?? '', { ca, username: 'gun-01', password: secret });
  await node.publishAsync('airlines/hall-2/gun-01/online', 'true', { qos: 1 });
  // A client that trusts nobody but its own authority does not take a certificate that it cannot trace.
  await expect(client(mqttsUrl ?? '', { username: 'gun-01', password: secret })).rejects.toThrow();

  for (const url of [httpUrl, mqttsUrl ?? '']) {
    expect(await shown(url, { minVersion: 'TLSv1.2', maxVersion: 'TLSv1.2' })).toBe('hall');
    expect(await shown(url, { minVersion: 'TLSv1.3' })).toBe('hall');
    // Security level 0, so that it is the service that refuses and not this client.
    const old = { minVersion: 'TLSv1', maxVersion: 'TLSv1.1', ciphers: 'DEFAULT@SECLEVEL=0' };
    await expect(shown(url, old)).rejects.toMatchObject({ code: 'ERR_SSL_TLSV1_ALERT_PROTOCOL_VERSION' });
  }
});

test('plain MQTT can be left out; a renewed certificate is taken at once, and one that is not usable leaves the one before', async () => {
  const dir = folder();
  const files = certificate(dir, 'first');
  const { service, httpUrl, mqttsUrl } = await guardedService({ tls: { ...files, mqttPort: 0, plainMqtt: 'off' } });
  expect(service.mqttUrl).toBe(mqttsUrl);
  const second = certificate(dir, 'second');
  copyFileSync(second.certificate, files.certificate);
  await expect(service.renewTls()).rejects.toThrow('found a key that cannot be used with');
  expect(await shown(httpUrl, {})).toBe('first');
  copyFileSync(second.key, files.key);
  await service.renewTls();
  expect([await shown(httpUrl, {}), await shown(mqttsUrl ?? '', {})]).toEqual(['second', 'second']);
});

test('a service starts with an expired certificate: nodes without TLS are heard, and those that check it refuse', async () => {
  const dir = folder();
  const day = 86_400_000;
  const files = certificateBetween(dir, 'old', Date.now() - 30 * day, Date.now() - day);
  const ca = readFileSync(files.certificate);
  const { service, httpUrl, mqttsUrl, lines, book } = await guardedService({ tls: { ...files, ...TLS } });
  expect(lines.filter((line) => line.includes('the certificate has run out'))).toHaveLength(1);

  const plain = await client(service.mqttUrl, {});
  await plain.publishAsync('airlines/hall-2/gun-01/online', 'true', { qos: 1 });
  await expect(client(mqttsUrl ?? '', { ca })).rejects.toMatchObject({ code: 'CERT_HAS_EXPIRED' });
  await expect(ask(`${httpUrl}/healthz`, ca)).rejects.toMatchObject({ code: 'CERT_HAS_EXPIRED' });
  const trusting = await client(mqttsUrl ?? '', { rejectUnauthorized: false });
  await trusting.publishAsync('airlines/hall-2/gun-02/online', 'true', { qos: 1 });
  expect(book.store.broker.online()).toMatchObject([
    { station: 'gun-01', online: true },
    { station: 'gun-02', online: true },
  ]);
});

test.each([
  ['no file', { certificate: '/nowhere/hall.crt' }, 'tls.certificate: /nowhere/hall.crt: cannot be read (ENOENT)'],
  ['no key file', { key: '/nowhere/hall.key' }, 'tls.key: /nowhere/hall.key: cannot be read (ENOENT)'],
  ['no certificate', { certificate: 'text' }, 'found no certificate, expected one or more in PEM'],
  ['no key', { key: 'text' }, 'found no private key, expected one in PEM without a passphrase'],
  ['the certificate in the key’s place', { key: 'hall.crt' }, 'found no private key'],
  ['another certificate’s key', { key: 'other.key' }, 'expected the one of that certificate'],
  ['a key of another kind', { key: 'curve.key' }, 'expected the one of that certificate'],
  ['a certificate in DER', { certificate: 'hall.der' }, 'found no certificate, expected one or more in PEM'],
  ['a key with a passphrase', { key: 'locked.key' }, 'found a key with a passphrase, expected one without'],
])('%s is one clear fault', async (_what, wrong, message) => {
  const dir = folder();
  const files = certificate(dir, 'hall');
  certificate(dir, 'other');
  writeFileSync(`${dir}/text`, 'not PEM at all\n');
  execFileSync('openssl', ['pkey', '-in', files.key, '-aes256', '-passout', 'pass:x', '-out', `${dir}/locked.key`]);
  execFileSync('openssl', ['x509', '-in', files.certificate, '-outform', 'der', '-out', `${dir}/hall.der`]);
  execFileSync('openssl', [
    'genpkey',
    '-algorithm',
    'EC',
    '-pkeyopt',
    'ec_paramgen_curve:P-256',
    '-out',
    `${dir}/curve.key`,
  ]);
  const inFolder = Object.fromEntries(
    Object.entries(wrong).map(([field, file]) => [field, file.startsWith('/') ? file : `${dir}/${file}`]),
  );
  const config = { ...files, ...TLS, ...inFolder };
  await expect(readTls(config)).rejects.toMatchObject({ code: 'CONFIG_INVALID' });
  await expect(readTls(config)).rejects.toThrow(message);
});
