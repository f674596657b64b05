import { createServer } from 'node:http';
import type { AddressInfo, LookupFunction } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { NeverDelivered, postWebhook } from '../../../dashboard/telling/post-webhook.ts';
import { isPrivateAddress } from '../../../dashboard/telling/private-address.ts';
import { signWebhook } from '../../../dashboard/telling/sign-webhook.ts';

const SECRET = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw';

describe('the signature of a webhook', () => {
  it('is that of the test vector of the Standard Webhooks specification', () => {
    // Source: Standard Webhooks, test vector of its reference libraries.
    expect(signWebhook(SECRET, 'msg_p5jXN8AQM9LWM0D4loKWxJek', 1614265330, '{"test": 2432232314}')).toBe(
      'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=',
    );
  });

  it('changes with the time and takes any text for a secret', () => {
    expect(signWebhook(SECRET, 'a', 1, '{}')).not.toBe(signWebhook(SECRET, 'a', 2, '{}'));
    expect(signWebhook('a text of twenty-four chars', 'a', 1, '{}')).toMatch(/^v1,[A-Za-z0-9+/]{43}=$/);
  });
});

describe('private addresses', () => {
  // Source: IANA special-purpose address registries.
  for (const address of [
    ...[
      '127.0.0.1',
      '10.1.2.3',
      '172.16.0.1',
      '172.31.255.255',
      '192.168.1.1',
      '169.254.169.254',
      '100.64.0.1',
      '0.0.0.0',
    ],
    ...[
      '224.0.0.1',
      '255.255.255.255',
      '::1',
      '::',
      'fe80::1%eth0',
      'fd12::1',
      'ff02::1',
      '::ffff:10.0.0.1',
      '::ffff:7f00:1',
    ],
    ...['64:ff9b::a00:1', '2002:7f00:1::', '::7f00:1', 'not an address'],
  ])
    it(`holds ${address}`, () => expect(isPrivateAddress(address)).toBe(true));

  for (const address of ['8.8.8.8', '172.32.0.1', '100.128.0.1', '192.167.255.255', '2606:4700::1111', '2a00:1450::1'])
    it(`does not hold ${address}`, () => expect(isPrivateAddress(address)).toBe(false));
});

/** A receiver on loopback that answers with a status. */
async function receiver(
  status: number,
  headers: Record<string, string> = {},
): Promise<{ port: number; got: string[] }> {
  const got: string[] = [];
  const server = createServer((request, response) => {
    let body = '';
    request.on('data', (part) => {
      body += part;
    });
    request.on('end', () => {
      got.push(`${request.headers.host} ${body}`);
      response.writeHead(status, headers).end('x'.repeat(100));
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  onTestFinished(() => {
    server.close();
  });
  return { port: (server.address() as AddressInfo).port, got };
}

/** Names lead where the list says, one after the other. */
const naming = (...addresses: string[]): LookupFunction => {
  let at = 0;
  return (_name, options, done) => {
    const address = addresses[Math.min(at++, addresses.length - 1)]!;
    if (options.all) done(null, [{ address, family: 4 }]);
    else done(null, address, 4);
  };
};

describe('posting a webhook', () => {
  const post = (url: string, more: Partial<Parameters<typeof postWebhook>[0]> = {}) =>
    postWebhook({ url, headers: {}, body: '{}', allowPrivate: [], ...more });

  it('refuses addresses and names that lead into private networks, however they are written', async () => {
    const { port, got } = await receiver(200);
    for (const host of ['127.0.0.1', '2130706433', '0x7f.1', '[::1]', '[::ffff:127.0.0.1]', 'localhost'])
      await expect(post(`http://${host}:${port}/`)).rejects.toThrow(NeverDelivered);
    await expect(post(`http://hook.example:${port}/`, { lookup: naming('10.0.0.7') })).rejects.toThrow(
      'hook.example (10.0.0.7) lies in a private network; allow it by telling.allowPrivate if it is yours',
    );
    expect(got).toEqual([]);
  });

  it('judges the very address that it connects to: a name that changes its mind leads nowhere', async () => {
    const { port, got } = await receiver(200);
    // Public when asked first, loopback when asked again: it is asked once, and goes where that answer says.
    const rebinding = naming('203.0.114.1', '127.0.0.1');
    await expect(post(`http://hook.example:${port}/`, { lookup: rebinding, timeoutMs: 300 })).rejects.toThrow();
    await expect(post(`http://hook.example:${port}/`, { lookup: rebinding })).rejects.toThrow(NeverDelivered);
    expect(got).toEqual([]);
  });

  it('delivers to a private host that is allowed', async () => {
    const { port, got } = await receiver(204);
    await post(`http://hook.example:${port}/in`, { lookup: naming('127.0.0.1'), allowPrivate: ['hook.example'] });
    expect(got).toEqual([`hook.example:${port} {}`]);
  });

  it('follows no redirect and takes nothing but 2xx', async () => {
    const other = await receiver(200);
    const moved = await receiver(302, { Location: `http://127.0.0.1:${other.port}/` });
    const failing = await receiver(500);
    const allowPrivate = ['127.0.0.1'];
    await expect(post(`http://127.0.0.1:${moved.port}/`, { allowPrivate })).rejects.toThrow(
      'answered 302: redirects are not followed',
    );
    await expect(post(`http://127.0.0.1:${failing.port}/`, { allowPrivate })).rejects.toThrow('answered 500');
    expect(other.got).toEqual([]);
  });
});
