import { gunName } from './started.ts';

const STEP_MS = 1000;
const TIME = '0000000000.000';

/** One packet of a gun, made once; digits are written into copies of it. */
interface Template {
  readonly bytes: Buffer;
  readonly idAt: number;
  readonly timeAt: number;
  readonly valuesAt: readonly number[];
}

const PACK = (gun: string): string =>
  `[{"bn":"${gun}/","bt":${TIME},"n":"conveying/pressure","u":"bar","v":2.4#},{"n":"conveying/flow","u":"m3/h","v":2.#},` +
  `{"n":"supplementary/flow","u":"m3/h","v":1.#},{"n":"fluidizing/pressure","u":"bar","v":0.4#},` +
  `{"n":"supply/pressure","u":"bar","v":6.#},{"n":"powder/output","u":"g/min","v":14#},{"n":"trigger","vb":true}]`;

function text(value: string): Buffer {
  const bytes = Buffer.from(value);
  return Buffer.concat([Buffer.of(bytes.length >> 8, bytes.length & 255), bytes]);
}

function packet(type: number, body: Buffer): Buffer {
  if (body.length > 16_383) throw new RangeError(`a body of ${body.length} bytes, expected two bytes of length`);
  return Buffer.concat([Buffer.of(type, (body.length & 127) | 128, body.length >> 7), body]);
}

function template(gun: number): Template {
  const name = gunName(gun);
  const topic = text(`airlines/hall-1/${name}`);
  const payload = PACK(name);
  const bytes = packet(0x32, Buffer.concat([topic, Buffer.of(0, 0), Buffer.from(payload)]));
  const payloadAt = bytes.length - payload.length;
  const valuesAt: number[] = [];
  for (let at = bytes.indexOf('#', payloadAt); at >= 0; at = bytes.indexOf('#', at + 1)) valuesAt.push(at);
  return { bytes, idAt: payloadAt - 2, timeAt: payloadAt + payload.indexOf(TIME), valuesAt };
}

/** MQTT 3.1.1 packets of one connection: SenML packs of seven readings, one gun after the other, a second apart for each. */
export class LoadPackets {
  readonly #templates: readonly Template[];
  readonly #startMs: number;

  constructor(guns: readonly number[], startMs: number) {
    this.#templates = guns.map(template);
    this.#startMs = startMs;
  }

  /** Packet identifier of a connection's message. */
  static idOf(message: number): number {
    return (message % 65_535) + 1;
  }

  connect(id: string): Buffer {
    const head = Buffer.concat([text('MQTT'), Buffer.of(4, 2, 0, 0)]);
    const body = Buffer.concat([head, text(id)]);
    return Buffer.concat([Buffer.of(0x10, body.length), body]);
  }

  /** Messages [first, first + count) of this connection. */
  publishes(first: number, count: number): Buffer {
    const guns = this.#templates.length;
    let length = 0;
    for (let i = first; i < first + count; i++) length += this.#templates[i % guns]!.bytes.length;
    const out = Buffer.allocUnsafe(length);
    let at = 0;
    for (let i = first; i < first + count; i++) {
      const { bytes, idAt, timeAt, valuesAt } = this.#templates[i % guns]!;
      bytes.copy(out, at);
      out.writeUInt16BE(LoadPackets.idOf(i), at + idAt);
      const sequence = Math.floor(i / guns);
      writeTime(out, at + timeAt, this.#startMs + sequence * STEP_MS);
      for (let k = 0; k < valuesAt.length; k++) out[at + valuesAt[k]!] = 48 + (((sequence * (k + 3)) ^ (i * 7)) % 10);
      at += bytes.length;
    }
    return out;
  }
}

function writeTime(out: Buffer, at: number, ms: number): void {
  let seconds = Math.floor(ms / 1000);
  const rest = ms - 1000 * seconds;
  for (let digit = 9; digit >= 0; digit--) {
    out[at + digit] = 48 + (seconds % 10);
    seconds = Math.floor(seconds / 10);
  }
  out[at + 11] = 48 + Math.floor(rest / 100);
  out[at + 12] = 48 + (Math.floor(rest / 10) % 10);
  out[at + 13] = 48 + (rest % 10);
}
