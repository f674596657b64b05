import type { Worker } from 'node:worker_threads';
import { AppError } from '../contract/errors.ts';
import type { Plant } from '../contract/plant.ts';
import type { Decoded, PackLimits } from '../decode/decoded.ts';
import { startThread } from '../thread.ts';

export interface DecodeStart {
  readonly plant: Plant;
  readonly limits: PackLimits;
}

export interface DecodeOrder {
  readonly id: number;
  readonly payload: Uint8Array<SharedArrayBuffer>;
  readonly station: string;
  readonly receivedAt: number;
}

export interface DecodeAnswer {
  readonly id: number;
  /** What was decoded, without the columns of its pack. */
  readonly decoded: Decoded;
  readonly columns: {
    readonly times: Float64Array;
    readonly channels: Uint8Array;
    readonly values: Float64Array;
  } | null;
}

interface Waiting {
  readonly resolve: (decoded: Decoded) => void;
  readonly reject: (error: Error) => void;
}

/** Decodes long packs in a thread of its own, which is started with the first of them. */
export class LongPacks {
  readonly #start: DecodeStart;
  readonly #waiting = new Map<number, Waiting>();
  #thread: Worker | null = null;
  #nextId = 0;

  constructor(start: DecodeStart) {
    this.#start = start;
  }

  /**
   * What the decoder makes of a payload. One in shared memory is read there, and must not change until then; another is copied.
   *
   * @throws {AppError} INTERNAL when the thread has died; the next call starts another
   */
  decode(payload: Uint8Array, station: string, receivedAt: number): Promise<Decoded> {
    const id = this.#nextId++;
    const shared = isShared(payload) ? payload : new Uint8Array(new SharedArrayBuffer(payload.length));
    if (shared !== payload) shared.set(payload);
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
      this.#running().postMessage({ id, payload: shared, station, receivedAt } satisfies DecodeOrder);
    });
  }

  async stop(): Promise<void> {
    const thread = this.#thread;
    this.#fail('the service is stopping');
    await thread?.terminate();
  }

  #running(): Worker {
    if (this.#thread !== null) return this.#thread;
    const thread = startThread(new URL('./decode-thread', import.meta.url), { workerData: this.#start });
    thread.on('message', (answer: DecodeAnswer) => {
      this.#waiting.get(answer.id)?.resolve(whole(answer));
      this.#waiting.delete(answer.id);
    });
    thread.on('error', (error) => {
      if (this.#thread === thread) this.#fail(error.message);
    });
    this.#thread = thread;
    return thread;
  }

  #fail(why: string): void {
    this.#thread = null;
    for (const { reject } of this.#waiting.values())
      reject(new AppError('INTERNAL', `a long pack could not be decoded: ${why}`));
    this.#waiting.clear();
  }
}

function isShared(bytes: Uint8Array): bytes is Uint8Array<SharedArrayBuffer> {
  return bytes.buffer instanceof SharedArrayBuffer;
}

function whole({ decoded, columns }: DecodeAnswer): Decoded {
  if (!decoded.ok || columns === null) return decoded;
  const { times, channels, values } = columns;
  const pack = { ...decoded.pack, times: [...times], channels: [...channels], values: [...values] };
  return { ...decoded, pack };
}
