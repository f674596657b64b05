import type { Frames } from '../contract/frames.ts';
import type { Store } from '../store/store.ts';
import type { HistorianPoint } from './point.ts';
import { findingPoint, readingPoints, runPoints } from './points-of.ts';
import { type HistorianTarget, PointsRefused } from './target.ts';

/** Points of one request. Source: own choice, what the makers of InfluxDB advise: 5 000 to 10 000. */
const POINTS_A_REQUEST = 5000;
const NOTES_A_ROUND = 20;

/** What deliveries have brought about since the start. */
export interface Delivered {
  points: number;
  /** Points that the target will never take; the first fault of the latest ones in words. */
  refused: number;
  refusal: string | null;
}

/**
 * Delivers what waits, the oldest first, one piece at a time: a piece no longer waits only when the target has all of it.
 * After a crash or a fault it goes out again, and is the same points.
 */
export class Delivery {
  readonly delivered: Delivered = { points: 0, refused: 0, refusal: null };
  readonly #store: Store;
  readonly #target: HistorianTarget;
  readonly #site: string;

  constructor(store: Store, target: HistorianTarget, site: string) {
    this.#store = store;
    this.#target = target;
    this.#site = site;
  }

  /**
   * One piece.
   *
   * @returns false when nothing waits
   * @throws {Error} the target cannot be reached or is not well; the piece still waits
   */
  async step(): Promise<boolean> {
    return (await this.#span()) || (await this.#tail()) || (await this.#notes());
  }

  /** Readings that are in chunks: history, or what waited through an outage. */
  async #span(): Promise<boolean> {
    const { historian, readings } = this.#store;
    const span = historian.nextSpan();
    if (span === null) return false;
    const [block] = firstOf(readings.iterateFrames(span.station, span.from, span.to));
    if (block !== undefined) await this.#writeFrames(block);
    historian.sentSpan(span, block === undefined ? span.to : block.times.at(-1)! + 1);
    return true;
  }

  /** Fresh readings. What the store holds is sent, not what came: of two values for one time the first stays there, too. */
  async #tail(): Promise<boolean> {
    const { historian, readings } = this.#store;
    const next = historian.nextOfTail();
    if (next === null) return false;
    for (const { station, from, to } of next.spans)
      for (const block of readings.iterateFrames(station, from, to)) await this.#writeFrames(block);
    historian.sentTail(next.seq);
    return true;
  }

  async #notes(): Promise<boolean> {
    const { historian, runs, findings } = this.#store;
    const notes = historian.nextNotes(NOTES_A_ROUND);
    if (notes.length === 0) return false;
    const points = notes.flatMap((note) => {
      if (note.kind === 'run') return runPoints(this.#site, runs.load(note.gun, note.from, note.to + 1));
      const found = findings.get(note.key);
      return found === null ? [] : [findingPoint(this.#site, found)];
    });
    await this.#write(points);
    historian.sentNotes(notes.map(({ id }) => id));
    return true;
  }

  async #writeFrames(frames: Frames): Promise<void> {
    for (let from = 0; from < frames.times.length; from += POINTS_A_REQUEST)
      await this.#write(
        readingPoints(this.#site, frames, from, Math.min(frames.times.length, from + POINTS_A_REQUEST)),
      );
  }

  /** What the target refuses is halved until the points are found that it will never take: they are counted, and the rest is delivered. */
  async #write(points: readonly HistorianPoint[]): Promise<void> {
    if (points.length === 0) return;
    try {
      await this.#target.write(points);
      this.delivered.points += points.length;
    } catch (error) {
      if (!(error instanceof PointsRefused)) throw error;
      if (points.length === 1) {
        this.delivered.refused++;
        this.delivered.refusal = error.message;
        return;
      }
      const half = points.length >> 1;
      await this.#write(points.slice(0, half));
      await this.#write(points.slice(half));
    }
  }
}

function firstOf(blocks: Generator<Frames>): Frames[] {
  const { value, done } = blocks.next();
  blocks.return(undefined);
  return done ? [] : [value];
}
