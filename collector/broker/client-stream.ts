import { Duplex } from 'node:stream';

/** What a client stream needs of its connection. */
export interface StreamPeer {
  /** Writes to the client; `done` when more may follow. */
  send(bytes: Buffer, done: () => void): void;
  /** The reader has room again. */
  wanted(): void;
  /** Ends the connection after what has been written. */
  finish(): void;
}

/** One client as aedes sees it: the packets that we pass on to it, and its answers. */
export class ClientStream extends Duplex {
  readonly #peer: StreamPeer;

  constructor(peer: StreamPeer) {
    super({ readableHighWaterMark: 65_536, writableHighWaterMark: 65_536 });
    this.#peer = peer;
  }

  override _read(): void {
    this.#peer.wanted();
  }

  override _write(chunk: Buffer | string, encoding: BufferEncoding, done: (error?: Error | null) => void): void {
    this.#peer.send(typeof chunk === 'string' ? Buffer.from(chunk, encoding) : chunk, done);
  }

  override _writev(
    chunks: { chunk: Buffer | string; encoding: BufferEncoding }[],
    done: (error?: Error | null) => void,
  ): void {
    const parts = chunks.map(({ chunk, encoding }) =>
      typeof chunk === 'string' ? Buffer.from(chunk, encoding) : chunk,
    );
    this.#peer.send(Buffer.concat(parts), done);
  }

  override _final(done: (error?: Error | null) => void): void {
    this.#peer.finish();
    done();
  }

  override _destroy(error: Error | null, done: (error?: Error | null) => void): void {
    this.#peer.finish();
    done(error);
  }
}
