import type { Buffer } from 'node:buffer';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '../../collector/contract/channels.ts';
import { DecimalWriter } from '../output/decimal-writer.ts';
import type { Sent } from '../sensors/transport.ts';

/** Decimals that a channel's values are sent with. */
const DECIMALS: Readonly<Partial<Record<Channel, number>>> = {
  'conveying/ripple': 3,
  'powder/output': 0,
  'supply/temperature': 1,
  'supply/dewpoint': 1,
};

/** A state that holds is repeated after this long, ms: a reader may have joined. Source: own choice. */
const REPEAT_MS = 600_000;

/** What a node has said last of things that hold, so that it need not repeat them. */
interface Held {
  value: number;
  saidAt: number;
}

/** Writes the reports of one node as SenML packs (RFC 8428), values in canonical units, which need no unit. */
export class SenmlPacks {
  readonly #baseName: string;
  readonly #holdsOutput: boolean;
  readonly #out = new DecimalWriter();
  readonly #held = new Map<Channel, Held>();

  /**
   * @param node name of the sensor node, stands before the channel
   * @param holdsOutput the output is a set value, sent when it changes
   */
  constructor(node: string, holdsOutput: boolean) {
    this.#baseName = `${node}:`;
    this.#holdsOutput = holdsOutput;
  }

  /** One report as a pack as nodes send it live: every channel once, with its unit. */
  single(sent: Sent, place: number): Buffer {
    const out = this.#out;
    const { frames } = sent;
    const row = sent.rows[place]!;
    out.text(`[{"bn":"${this.#baseName}","bt":`);
    this.#seconds(sent.stamps[place]!);
    let first = true;
    for (const { name, kind, canonical } of CHANNELS) {
      const value = frames.columns[name]?.[row];
      if (value === undefined || Number.isNaN(value)) continue;
      out.text(first ? `,"n":"${name}",` : `,{"n":"${name}",`);
      first = false;
      if (kind === 'number') out.text(`"u":"${canonical}",`);
      this.#value(name, value, frames.strings);
      out.byte(125);
    }
    if (first) out.byte(125);
    out.byte(93);
    return out.take();
  }

  /**
   * Many reports as one compact pack: channel by channel, the name in `bn`, times from `bt`. What holds is sent
   * when it changes.
   *
   * @param places of the reports within `sent`
   * @returns the pack, or null when nothing is to be said
   */
  bulk(sent: Sent, places: readonly number[]): Buffer | null {
    if (places.length === 0) return null;
    const out = this.#out;
    let base = Number.POSITIVE_INFINITY;
    for (const place of places) base = Math.min(base, sent.stamps[place]!);
    base = Math.floor(base / 1000) * 1000;
    let records = 0;
    for (const name of CHANNEL_NAMES) {
      const column = sent.frames.columns[name];
      if (!column) continue;
      const holds = name === 'trigger' || name === 'powder/id' || (name === 'powder/output' && this.#holdsOutput);
      let first = true;
      for (const place of places) {
        const value = column[sent.rows[place]!]!;
        const time = sent.stamps[place]!;
        if (Number.isNaN(value) || (holds && !this.#news(name, value, time))) continue;
        out.text(records++ === 0 ? '[{' : ',{');
        if (first) {
          out.text(`"bn":"${this.#baseName}${name}",`);
          if (records === 1) {
            out.text('"bt":');
            this.#seconds(base);
            out.byte(44);
          }
          first = false;
        }
        out.text('"t":');
        this.#seconds(time - base);
        out.byte(44);
        this.#value(name, value, sent.frames.strings);
        out.byte(125);
      }
    }
    if (records === 0) return null;
    out.byte(93);
    return out.take();
  }

  /** True when a held value has changed or was last said long ago. */
  #news(name: Channel, value: number, time: number): boolean {
    const held = this.#held.get(name);
    if (held && held.value === value && Math.abs(time - held.saidAt) < REPEAT_MS) return false;
    if (held) {
      held.value = value;
      held.saidAt = time;
    } else this.#held.set(name, { value, saidAt: time });
    return true;
  }

  #value(name: Channel, value: number, strings: readonly string[]): void {
    const out = this.#out;
    if (name === 'powder/id') out.text(`"vs":${JSON.stringify(strings[value])}`);
    else if (name === 'trigger') out.text(value === 1 ? '"vb":true' : '"vb":false');
    else {
      out.text('"v":');
      out.decimal(value, DECIMALS[name] ?? 2);
    }
  }

  #seconds(ms: number): void {
    const out = this.#out;
    const second = Math.floor(ms / 1000);
    out.whole(second, 1);
    const rest = ms - second * 1000;
    if (rest === 0) return;
    out.byte(46);
    out.whole(rest, 3);
  }
}
