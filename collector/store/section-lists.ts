import { type BatchInTail, Section } from './batch.ts';

/** A place is the batch's number times this, and where in the batch the pack's head begins: whole to two million batches, of which a tail has some thousand. */
const HEADS = 2 ** 32;

/** Packs of one station, in the order of their commits. */
export interface StationSections {
  readonly length: number;
  seqAt(index: number): number;
  readingsAt(index: number): number;
  slice(from: number, to?: number): Section[];
}

/**
 * Packs of many batches by station, as a number each: a burst leaves half a million, in each thread that reads the tail, and as
 * objects they would take six times the memory, over which V8 goes again and again.
 */
export class SectionLists {
  #batches: BatchInTail[] = [];
  readonly #places = new Map<string, number[]>();

  get stations(): IterableIterator<string> {
    return this.#places.keys();
  }

  get size(): number {
    return this.#places.size;
  }

  /** @param heads where in the batch those of its packs begin */
  add(batch: BatchInTail, heads: readonly number[]): void {
    const first = this.#batches.push(batch) * HEADS - HEADS;
    for (const head of heads) {
      const { station } = new Section(batch, head);
      const places = this.#places.get(station);
      if (places) places.push(first + head);
      else this.#places.set(station, [first + head]);
    }
  }

  of(station: string): StationSections {
    return new Places(this.#batches, this.#places.get(station) ?? []);
  }

  /** Lets go of batches before this one. */
  forgetBefore(seq: number): void {
    const found = this.#batches.findIndex((batch) => batch.seq >= seq);
    const gone = found < 0 ? this.#batches.length : found;
    if (gone === 0) return;
    this.#batches = this.#batches.slice(gone);
    const from = gone * HEADS;
    for (const [station, places] of this.#places) {
      const kept = places.filter((place) => place >= from).map((place) => place - from);
      if (kept.length > 0) this.#places.set(station, kept);
      else this.#places.delete(station);
    }
  }
}

class Places implements StationSections {
  readonly #batches: readonly BatchInTail[];
  readonly #places: readonly number[];

  constructor(batches: readonly BatchInTail[], places: readonly number[]) {
    this.#batches = batches;
    this.#places = places;
  }

  get length(): number {
    return this.#places.length;
  }

  seqAt(index: number): number {
    return this.#batches[Math.floor(this.#places[index]! / HEADS)]!.seq;
  }

  readingsAt(index: number): number {
    return this.#at(this.#places[index]!).readings;
  }

  slice(from: number, to?: number): Section[] {
    return this.#places.slice(from, to).map((place) => this.#at(place));
  }

  #at(place: number): Section {
    const batch = Math.floor(place / HEADS);
    return new Section(this.#batches[batch]!, place - batch * HEADS);
  }
}
