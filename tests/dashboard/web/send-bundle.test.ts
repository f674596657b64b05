import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { NO_CONNECTION } from '../../../dashboard/web/api.ts';
import { sendBundle } from '../../../dashboard/web/settings/send-bundle.ts';

const MIB = 1_048_576;
const refusal = (status: number, code: string, detail: string): Response =>
  Response.json({ title: 'Refused', detail, code }, { status });

/** A service that takes pieces of one bundle, over a network that a test makes as bad as it likes. */
class PieceTaker {
  readonly bytes: Uint8Array;
  received = 0;
  gone = false;
  readonly asked: string[] = [];
  readonly pieces: number[] = [];
  /** Bytes of a piece that arrive before its connection breaks. */
  arrives: (piece: number) => number = (piece) => piece;
  /** Answers instead of what the service would say. */
  readonly instead: (() => Promise<Response>)[] = [];

  constructor(bytes: number) {
    this.bytes = new Uint8Array(bytes);
  }

  async fetch(path: string, { method, body }: RequestInit): Promise<Response> {
    this.asked.push(`${method} ${path}`);
    const other = this.instead.shift();
    if (other !== undefined) return other();
    const told = (): Response =>
      Response.json({ id: '3', received: this.received, bytes: this.bytes.length, maxPieceBytes: MIB });
    if (path === '/api/studies/bundles') return told();
    if (path.endsWith('/open')) return Response.json({ id: '9', state: 'running' }, { status: 202 });
    if (method === 'DELETE') {
      this.gone = true;
      return Response.json({ removed: '3' });
    }
    const offset = Number(new URLSearchParams(path.split('?')[1]).get('offset'));
    if (offset !== this.received) return refusal(409, 'EDITED_MEANWHILE', `${this.received} bytes are here`);
    const piece = new Uint8Array(await (body as Blob).arrayBuffer());
    const arrived = Math.min(piece.length, this.arrives(piece.length));
    this.pieces.push(piece.length);
    this.bytes.set(piece.subarray(0, arrived), this.received);
    this.received += arrived;
    if (arrived < piece.length) throw new TypeError('fetch failed');
    return told();
  }
}

let service: PieceTaker;
const file = new File([Uint8Array.from({ length: 2.5 * MIB }, (_, at) => (at * 7 + (at >> 9)) % 251)], 'study.gz');
beforeEach(() => {
  service = new PieceTaker(file.size);
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  vi.stubGlobal('fetch', (path: string, init: RequestInit = {}) => service.fetch(path, init));
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});
/** Sends the file, and lets time pass until that ends. */
const sent = async (
  signal = new AbortController().signal,
): Promise<{ end: PromiseSettledResult<unknown>; told: number[] }> => {
  const told: number[] = [];
  const sending = sendBundle(file, (share) => void told.push(share), signal);
  const all = Promise.allSettled([sending]);
  let isOver = false;
  void all.then(() => {
    isOver = true;
  });
  while (!isOver) await vi.advanceTimersByTimeAsync(1000);
  return { end: (await all)[0]!, told };
};
const whole = async (): Promise<void> => expect(Buffer.from(await file.arrayBuffer()).equals(service.bytes)).toBe(true);

test('a bundle goes in pieces of the size that the service takes, its share is told, and it is opened', async () => {
  const { end, told } = await sent();
  expect(end).toMatchObject({ status: 'fulfilled', value: { id: '9', state: 'running' } });
  expect(service.pieces).toEqual([MIB, MIB, MIB / 2]);
  expect(told).toEqual([0, 0.4, 0.8, 1]);
  expect(service.asked.at(-1)).toBe('POST /api/studies/bundles/3/open');
  await whole();
});

test('a bundle that was begun before goes on where that ended', async () => {
  service.received = 2 * MIB;
  service.bytes.set(new Uint8Array(await file.slice(0, 2 * MIB).arrayBuffer()));
  expect((await sent()).told).toEqual([0.8, 1]);
  expect(service.pieces).toEqual([MIB / 2]);
  await whole();
});

test('over a network on which no request brings more than 100 kB it arrives all the same, in pieces that become smaller', async () => {
  service.arrives = () => 100_000;
  expect((await sent()).end.status).toBe('fulfilled');
  expect(service.pieces.slice(0, 5)).toEqual([MIB, MIB / 2, MIB / 4, MIB / 8, MIB / 16]);
  expect(service.pieces.slice(5, 30).every((bytes) => bytes === MIB / 16)).toBe(true);
  await whole();
});

test('a service that is not reached for a while, has too much to do, or still has the piece before is asked again', async () => {
  const lost = (): Promise<Response> => Promise.reject(new TypeError('fetch failed'));
  const ours = (): Promise<Response> => Promise.resolve(Response.json({ id: '3', received: 0, maxPieceBytes: MIB }));
  const busy = (): Promise<Response> => Promise.resolve(refusal(429, 'TOO_MANY', 'wait'));
  const before = (): Promise<Response> => Promise.resolve(refusal(409, 'EDITED_MEANWHILE', 'another piece'));
  service.instead.push(ours, lost, lost, lost, ours, busy, ours, before);
  expect((await sent()).end.status).toBe('fulfilled');
  await whole();
});

test('one that is refused keeps the sentence of the service, and who has no connection to begin with hears so', async () => {
  service.instead.push(() => Promise.resolve(refusal(413, 'BODY_TOO_LARGE', 'study.gz: found too much')));
  expect((await sent()).end).toMatchObject({ reason: { message: 'Refused: study.gz: found too much' } });
  service.instead.push(() => Promise.reject(new TypeError('fetch failed')));
  expect((await sent()).end).toMatchObject({ reason: { message: NO_CONNECTION } });
  expect(service.pieces).toEqual([]);
});

test('one whose sending is ended is not opened, and what arrived goes', async () => {
  const control = new AbortController();
  service.arrives = (piece) => {
    if (service.pieces.length === 1) control.abort();
    return piece;
  };
  expect((await sent(control.signal)).end.status).toBe('rejected');
  expect(service.gone).toBe(true);
  expect(service.asked.some((path) => path.endsWith('/open'))).toBe(false);
});
