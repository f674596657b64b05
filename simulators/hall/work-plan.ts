import type { ShopDay, Span } from '../calendar/shop-day.ts';
import type { Random } from '../random.ts';

/** A stretch of work in a booth with one powder and one recipe. */
export interface Batch extends Span {
  readonly powder: number;
  readonly recipe: number;
  /** The person at the booth. */
  readonly person: number;
  readonly shift: number;
}

/** A powder change in a booth: cleaning, and often the pump is taken apart. */
export interface ColourChange extends Span {
  readonly from: number;
  readonly to: number;
}

export interface BoothDay {
  readonly batches: readonly Batch[];
  readonly changes: readonly ColourChange[];
}

export interface BoothHabits {
  readonly powders: number;
  readonly recipes: number;
  /** Chance that the next batch is another powder. */
  readonly changeChance: number;
}

/** The work of one booth, day after day; remembers the powder in the box overnight. */
export class WorkPlan {
  readonly #random: Random;
  readonly #habits: BoothHabits;
  readonly #people: number;
  #powder = 0;

  constructor(random: Random, habits: BoothHabits, people: number) {
    this.#random = random;
    this.#habits = habits;
    this.#people = people;
  }

  /** Person of a shift: mostly the one of that shift, now and then a stand-in. */
  #person(shift: number): number {
    return this.#random.chance(0.85) ? shift % this.#people : this.#random.integer(0, this.#people - 1);
  }

  day(day: ShopDay): BoothDay {
    const batches: Batch[] = [];
    const changes: ColourChange[] = [];
    const random = this.#random;
    for (const shift of day.shifts) {
      const person = this.#person(shift.index);
      let time = shift.start + random.uniform(3, 12) * 60_000;
      const last = shift.end - random.uniform(5, 15) * 60_000;
      while (time < last) {
        if (this.#habits.powders > 1 && random.chance(this.#habits.changeChance)) {
          let to = random.integer(0, this.#habits.powders - 2);
          if (to >= this.#powder) to++;
          // Back to the usual powder more often than not: it is most of the work.
          if (this.#powder !== 0 && random.chance(0.6)) to = 0;
          const end = time + random.uniform(8, 20) * 60_000;
          changes.push({ start: time, end, from: this.#powder, to });
          this.#powder = to;
          time = end;
        }
        const end = Math.min(last, time + random.lognormal(50, 0.45) * 60_000);
        if (end - time > 60_000)
          batches.push({
            start: time,
            end,
            powder: this.#powder,
            recipe: random.chance(0.6) ? 0 : random.integer(0, this.#habits.recipes - 1),
            person,
            shift: shift.index,
          });
        time = end + random.uniform(1, 6) * 60_000;
      }
    }
    return { batches, changes };
  }
}
