import type { Socket } from 'node:net';
import { Duplex } from 'node:stream';

/** A TCP connection without TCP: what a client sends is pushed in, and what it is sent is counted. Ends as a socket does. */
export class LoopSocket extends Duplex {
  readonly remoteAddress = '127.0.0.1';
  readonly remotePort = 1;
  written = 0;

  constructor() {
    super({ allowHalfOpen: false });
  }

  /** As the server's side takes it. */
  get socket(): Socket {
    return this as unknown as Socket;
  }

  override _read(): void {
    // What comes is pushed when it comes.
  }

  override _write(chunk: Buffer, _: BufferEncoding, done: () => void): void {
    this.written += chunk.length;
    done();
  }

  setNoDelay(): this {
    return this;
  }

  setKeepAlive(): this {
    return this;
  }

  destroySoon(): void {
    if (this.writable) this.end();
    if (this.writableFinished) this.destroy();
    else this.once('finish', () => this.destroy());
  }
}
