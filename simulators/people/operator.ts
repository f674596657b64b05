import { type GunSpec, heldSupplementary, needAtTotal } from '../gun/gun-spec.ts';
import type { Settings } from '../gun/working-point.ts';
import { linePressure } from '../physics/air-line.ts';
import type { Random } from '../random.ts';

/** How people at a gun behave. */
export interface OperatorHabits {
  /** Deviation between people, and of one person over weeks, in the output that they want; shares. */
  readonly personSpread: number;
  readonly driftSpread: number;
  /** Off the wanted output by this share and they turn, once they have felt it for this many pulls. */
  readonly deadBand: number;
  readonly delayPulls: number;
}

/** Weight of the latest pull in what a person feels of the output. Source: own choice, because people judge by some eight pulls. */
const FEEL = 0.12;

/**
 * The person at the gun: sets what the recipe asks, looks at the finish, and turns conveying air by notches when powder is
 * short or too much for a while. Never looks at the gauge for its own sake, and doesn't know why.
 */
export class Operator {
  readonly #spec: GunSpec;
  readonly #random: Random;
  readonly #habits: OperatorHabits;
  /** By person: output wanted against the recipe, dead band, pulls until it is felt. */
  readonly #people: readonly { readonly level: number; readonly deadBand: number; readonly delayPulls: number }[];
  readonly #remembered = new Map<string, number>();
  #drift: number;
  #key = '';
  #feeling = 0;
  #pulls = 0;
  #settings: Settings;
  #recipe = 0;

  constructor(spec: GunSpec, random: Random, habits: OperatorHabits, people: readonly number[]) {
    this.#spec = spec;
    this.#random = random;
    this.#habits = habits;
    this.stopBar = spec.stopBar;
    this.#people = people.map((level) => ({
      level: level * random.lognormal(1, habits.personSpread / 2),
      deadBand: habits.deadBand * random.lognormal(1, 0.25),
      delayPulls: habits.delayPulls * random.lognormal(1, 0.4),
    }));
    this.#drift = random.normal(0, habits.driftSpread);
    this.#settings = { conveyingBar: 1.5, supplementaryBar: 1, fluidizingBar: spec.fluidizing.setBar, totalNm3h: 4 };
  }

  get settings(): Settings {
    return this.#settings;
  }

  /** More powder than the recipes say is wanted for now, as a factor on them. */
  more = 1;
  /** Highest pressure that the regulator gives, bar gauge. */
  stopBar: number;

  /** Output that the recipe in use asks, g/min: what a set output shows. */
  get askedGmin(): number {
    return 5 * Math.round((this.#spec.recipes[this.#recipe]!.outputGmin * this.more) / 5);
  }

  /** Output that the person wants on the parts, g/min. */
  wantedGmin(person: number): number {
    return this.askedGmin * this.#people[person]!.level * Math.exp(this.#drift);
  }

  /** A working day goes by: what this person likes drifts over weeks (correlation over 10 working days). */
  newDay(): void {
    const keep = Math.exp(-1 / 10);
    const spread = this.#habits.driftSpread * Math.sqrt(1 - keep * keep);
    this.#drift = this.#drift * keep + this.#random.normal(0, spread);
  }

  /** Takes up a recipe with a powder: from memory of the last time, else by what the pump needs when new, roughly. */
  takeUp(recipe: number, powder: string, powderFactor: number, atmosphereBar: number): void {
    const spec = this.#spec;
    this.#remembered.set(this.#key, this.#settings.conveyingBar);
    this.#key = `${powder}/${recipe}`;
    this.#recipe = recipe;
    const { outputGmin, totalNm3h } = spec.recipes[recipe]!;
    const need = needAtTotal(spec.throat, outputGmin / powderFactor, totalNm3h);
    const guess = linePressure(spec.conveying, need.conveyingNm3h, atmosphereBar, 293.15) - atmosphereBar;
    const known = this.#remembered.get(this.#key) ?? guess * this.#random.lognormal(1, 0.05);
    const held = heldSupplementary(totalNm3h, need.conveyingNm3h);
    this.#settings = {
      conveyingBar: this.#notched(known),
      supplementaryBar:
        Math.round((linePressure(spec.supplementary, held, atmosphereBar, 293.15) - atmosphereBar) * 20) / 20,
      fluidizingBar: spec.fluidizing.setBar,
      totalNm3h,
    };
    this.#feeling = 0;
    this.#pulls = 0;
  }

  #notched(bar: number): number {
    const notch = this.#spec.notchBar;
    return Math.max(0.3, Math.min(this.stopBar, Math.round(bar / notch) * notch));
  }

  /**
   * Looks at what a pull put on the part and turns the air if it has been wrong for long enough.
   *
   * @param outputGmin what came out
   * @param person who is at the gun
   */
  look(outputGmin: number, person: number): void {
    const off = Math.log(Math.max(1, outputGmin) / this.wantedGmin(person)) + this.#random.normal(0, 0.02);
    this.#feeling += FEEL * (Math.max(-0.5, Math.min(0.5, off)) - this.#feeling);
    this.#pulls++;
    const { delayPulls, deadBand } = this.#people[person]!;
    if (this.#pulls < delayPulls || Math.abs(this.#feeling) < deadBand) return;
    const settings = this.#settings;
    // Output follows pressure a little more than in proportion: turn about half of what is felt, a notch at least, three at most.
    const wanted = Math.abs(this.#feeling) * (settings.conveyingBar + 1) * 0.55;
    const notches = Math.max(1, Math.min(3, Math.round(wanted / this.#spec.notchBar)));
    const bar = settings.conveyingBar - Math.sign(this.#feeling) * notches * this.#spec.notchBar;
    this.#settings = { ...settings, conveyingBar: this.#notched(bar) };
    this.#feeling *= 0.4;
    this.#pulls = 0;
  }
}
