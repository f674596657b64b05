import { createHmac } from 'node:crypto';
import { createServer, type IncomingHttpHeaders } from 'node:http';
import { type AddressInfo, type Socket, createServer as tcpServer } from 'node:net';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import type { LiveUpdate, LoopJob } from '../../../analyzer/index.ts';
import { USUAL_CALENDAR } from '../../../analyzer/index.ts';
import type { Finding } from '../../../collector/contract/index.ts';
import { OperationConfig, openStore } from '../../../collector/index.ts';
import { shopBasis } from '../../../dashboard/shop/basis.ts';
import { openShop } from '../../../dashboard/shop/open-shop.ts';
import { Teller } from '../../../dashboard/telling/teller.ts';
import { tempDir } from '../../collector/store/temp-dir.ts';
import { hall } from '../hall.ts';
import { findingOf, INSERT_JOB, NOON } from '../hall-guns.ts';
import { smtpServer } from './smtp-server.ts';

const SOON = { timeout: 8000, interval: 20 };
const silent = { info: () => undefined, warn: () => undefined, error: () => undefined };

interface Told {
  readonly teller: Teller;
  readonly store: ReturnType<typeof openStore>;
  at(time: number): void;
  update(findings: readonly Finding[]): void;
}

function tell(telling: object, start = true, changed: Partial<LoopJob> = {}): Told {
  const store = openStore(tempDir(), { create: true });
  const { sources } = hall();
  let now = NOON;
  const clock = (): number => now;
  const shop = openShop(shopBasis(store, sources.plant, clock), { jobs: sources.jobs, calendar: () => USUAL_CALENDAR });
  const config = OperationConfig.parse({ telling }).telling;
  const teller = new Teller({
    plant: sources.plant,
    store,
    config,
    shop,
    jobs: () => sources.upkeep.loop().jobs.map((job) => ({ ...job, ...changed })),
    now: clock,
    random: () => 0.5,
    log: silent as never,
  });
  onTestFinished(async () => {
    await teller.stop();
    store.close();
  });
  if (start) teller.start();
  return {
    ...{ teller, store },
    at: (time) => {
      now = time;
    },
    update: (findings) => {
      store.findings.save(findings, now);
      teller.update({
        asOf: now,
        settled: true,
        views: [],
        jobs: [...sources.jobs()],
        findings: [...findings],
      } as LiveUpdate);
    },
  };
}

const finding = (category: Finding['category'], hoursAgo = 1): Finding => ({
  ...findingOf(INSERT_JOB),
  category,
  raised: new Date(NOON - hoursAgo * 3_600_000).toISOString(),
});
const mailTo = (port: number, more: object = {}): object => ({
  mail: { host: '127.0.0.1', port, security: 'none', from: 'driftline@plant.example', to: ['fitter@plant.example'] },
  ...more,
});

describe('mail', () => {
  it('tells of a finding past its limit at once, once, with evidence, cautions and a way to the jobs', async () => {
    const { port, mails } = await smtpServer();
    const { update, store } = tell(mailTo(port, { address: 'https://driftline.plant.example' }));
    update([finding('out-of-specification')]);
    update([finding('out-of-specification')]);
    await expect.poll(() => store.outbox.counts(), SOON).toEqual({ waiting: 0, sent: 1, failed: 0 });
    expect(mails).toMatchObject([{ from: 'driftline@plant.example', to: ['fitter@plant.example'] }]);
    const text = mails[0]!.text.replace(/=\r\n/g, '');
    expect(text).toContain('Subject: [Hall 2]');
    expect(text).toContain('lock out the supply');
    expect(text).toContain('https://driftline.plant.example/jobs');
  });

  it('leaves what is not pressing to the digest, and history untold', async () => {
    const { update, store } = tell(mailTo(1));
    update([finding('maintenance-required'), finding('failure', 30)]);
    expect(store.outbox.list()).toEqual([]);
  });

  it('is tried again after the server could not take it, and delivered once', async () => {
    const { port, mails } = await smtpServer(1);
    const { teller, update, store, at } = tell(mailTo(port));
    update([finding('failure')]);
    await expect.poll(() => store.outbox.list()[0]?.lastFault, SOON).toContain('try later');
    expect(mails).toEqual([]);
    const { dueAt } = store.outbox.list()[0]!;
    expect(dueAt - NOON).toBe(22_500);
    at(dueAt);
    teller.test('somebody');
    await expect.poll(() => store.outbox.counts(), SOON).toEqual({ waiting: 0, sent: 2, failed: 0 });
    expect(mails.length).toBe(2);
  });

  it('outlives a restart in the outbox', async () => {
    const { update, store, teller } = tell(mailTo(1));
    update([finding('failure')]);
    await expect.poll(() => store.outbox.list()[0]?.attempts, SOON).toBe(1);
    await teller.stop();
    expect(store.outbox.list()).toMatchObject([
      { state: 'waiting', lastFault: expect.stringContaining('ECONNREFUSED') },
    ]);
  });

  it('keeps the quiet hours, failures excepted', async () => {
    const { update, store } = tell(mailTo(1, { quietFrom: '14:00', quietTo: '16:00' }), false);
    update([finding('out-of-specification'), { ...finding('failure'), gun: 'gun-02' }]);
    const due = store.outbox
      .list()
      .map(({ body, dueAt }) => [(body as { subject: string }).subject.includes('failure'), dueAt - NOON]);
    expect(due).toEqual([
      [true, 0],
      [false, 88 * 60_000],
    ]);
  });

  it('does not call people for what they shelved or took out of service, and the digest says how much that is', () => {
    for (const alert of ['shelved', 'suppressed-by-design'] as const) {
      const { update, teller, at, store } = tell(mailTo(1, { digestAt: '06:30' }), false, { alert });
      update([finding('out-of-specification')]);
      expect(store.outbox.list()).toEqual([]);
      at(NOON - 5 * 3_600_000);
      teller.digest();
      const { subject, text } = store.outbox.list()[0]!.body as { subject: string; text: string };
      expect(subject).toContain('nothing to do');
      expect(text).toMatch(alert === 'shelved' ? /On the shelf: [1-9]/ : /Of guns out of service: [1-9]/);
    }
  });

  it('counts in the digest after a day of 25 hours what was raised in all of them', () => {
    const { update, teller, at, store } = tell(mailTo(1, { digestAt: '02:10' }), false);
    // Vienna, the night of 25 October 2026: the digest of the 24th came at 00:10 UTC, that of the 25th at 00:10, of the 26th at 01:10.
    const raised = '2026-10-25T00:30:00.000Z';
    at(Date.parse('2026-10-26T01:20:00Z'));
    update([{ ...finding('maintenance-required'), raised }]);
    teller.digest();
    expect((store.outbox.list()[0]!.body as { text: string }).text).toContain('1 raised, 0 cleared');
  });

  it('puts a digest down later that could not be put down at its time', () => {
    const { teller, update, at, store } = tell(mailTo(1, { digestAt: '06:30' }), false);
    update([finding('maintenance-required')]);
    at(NOON - 5 * 3_600_000);
    const put = vi.spyOn(store.outbox, 'put').mockImplementationOnce(() => {
      throw new Error('the disk is full');
    });
    expect(() => teller.digest()).toThrow('the disk is full');
    teller.digest();
    expect(put).toHaveBeenCalledTimes(2);
    expect(store.outbox.list().map(({ kind }) => kind)).toEqual(['digest']);
  });

  it('sends one digest a day', async () => {
    const { port, mails } = await smtpServer();
    const { teller, update, at, store } = tell(mailTo(port, { digestAt: '06:30' }));
    update([finding('maintenance-required')]);
    at(NOON - 5 * 3_600_000);
    teller.digest();
    teller.digest();
    at(NOON + 24 * 3_600_000 - 5 * 3_600_000);
    teller.digest();
    await expect.poll(() => store.outbox.counts().sent, SOON).toBe(2);
    expect(mails[0]!.text).toContain('most pressing first');
    expect(store.outbox.list().map(({ kind }) => kind)).toEqual(['digest', 'digest']);
  });
});

describe('a dead mail server', () => {
  it('delays neither the analysis nor a webhook nor the end of the service', async () => {
    const held: Socket[] = [];
    // It takes connections and never says a word.
    const dead = tcpServer((socket) => held.push(socket));
    await new Promise<void>((done) => dead.listen(0, '127.0.0.1', done));
    const got: { headers: IncomingHttpHeaders; body: string }[] = [];
    const receiver = createServer((request, response) => {
      let body = '';
      request.on('data', (part) => {
        body += part;
      });
      request.on('end', () => {
        got.push({ headers: request.headers, body });
        response.end();
      });
    });
    await new Promise<void>((done) => receiver.listen(0, '127.0.0.1', done));
    onTestFinished(() => {
      for (const socket of held) socket.destroy();
      dead.close();
      receiver.close();
    });
    const secret = 'a secret of more than 24 characters';
    const { update, store, teller } = tell(
      mailTo((dead.address() as AddressInfo).port, {
        webhooks: [{ name: 'plant', url: `http://127.0.0.1:${(receiver.address() as AddressInfo).port}/in`, secret }],
        allowPrivate: ['127.0.0.1'],
      }),
    );
    update([finding('failure')]);
    await expect.poll(() => got.length, SOON).toBe(1);
    const { headers, body } = got[0]!;
    const signed = `${headers['webhook-id']}.${headers['webhook-timestamp']}.${body}`;
    expect(headers['webhook-signature']).toBe(`v1,${createHmac('sha256', secret).update(signed).digest('base64')}`);
    expect(JSON.parse(body)).toMatchObject({
      type: 'finding.raised',
      data: { site: 'hall-2', finding: { category: 'failure' } },
    });
    await expect.poll(() => held.length, SOON).toBe(1);
    await expect.poll(() => store.outbox.counts().sent, SOON).toBe(1);
    await teller.stop();
    await teller.stop();
    expect(store.outbox.counts()).toEqual({ waiting: 1, sent: 1, failed: 0 });
  });
});

describe('a webhook', () => {
  it('into a private network is given up at once, with the reason', async () => {
    const { update, store } = tell({
      webhooks: [{ name: 'inside', url: 'http://127.0.0.1:9/', secret: 'x'.repeat(24) }],
    });
    update([finding('failure')]);
    await expect.poll(() => store.outbox.list()[0]?.state, SOON).toBe('failed');
    expect(store.outbox.list()[0]!.lastFault).toContain('lies in a private network');
  });

  it('needs a name, an http address and a secret that is long enough', () => {
    const parse = (webhook: object) => OperationConfig.safeParse({ telling: { webhooks: [webhook] } });
    const good = { name: 'a', url: 'https://hook.example/x', secret: 'x'.repeat(24) };
    expect(parse(good).success).toBe(true);
    for (const bad of [
      { ...good, secret: 'short' },
      { ...good, url: 'ftp://hook.example' },
      { ...good, url: 'https://u:p@hook.example' },
    ])
      expect(parse(bad).success).toBe(false);
  });
});
