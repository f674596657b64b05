import { CLOCK_HOLDS_MS, RANGE_HOLDS_MS } from './diagnose/judge-site.ts';
import { noticedAt } from './runs/track.ts';
import type { StationFact, Track } from './site.ts';

/**
 * The facts of one station that are known and hold at a time that only goes forward. Each fact is looked at when it comes
 * and while it holds: a broken file can bring a hundred thousand of them.
 */
export class HoldingFacts {
  readonly #facts: readonly StationFact[];
  #next = 0;
  #holding: StationFact[] = [];

  /** @param track with its facts ascending by the time at which they were noticed */
  constructor(track: Track) {
    this.#facts = track.facts;
  }

  /** @param now epoch ms, not before that of the last call */
  at(now: number): readonly StationFact[] {
    while (this.#next < this.#facts.length && noticedAt(this.#facts[this.#next]!) <= now) {
      const fact = this.#facts[this.#next++]!;
      if (holds(fact, now)) this.#holding.push(fact);
    }
    this.#holding = this.#holding.filter((fact) => holds(fact, now));
    return this.#holding;
  }
}

function holds(fact: StationFact, now: number): boolean {
  if (fact.kind === 'range') return now - fact.time < RANGE_HOLDS_MS;
  if (fact.kind === 'clock') return now - fact.time < CLOCK_HOLDS_MS;
  return fact.until === null || fact.until > now;
}

/** Channels of a station that cannot be trusted while these facts hold. */
export function distrusted(holding: readonly StationFact[]): string[] {
  return holding.flatMap((fact) => (fact.kind === 'stuck' ? [fact.channel] : []));
}

/** When the silence of a station began that holds, epoch ms; null where none does. */
export function silentSince(holding: readonly StationFact[]): number | null {
  for (const fact of holding) if (fact.kind === 'silence') return fact.time;
  return null;
}
