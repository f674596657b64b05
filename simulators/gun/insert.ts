import { lossOfSleeve, wearPerKilogram } from '../physics/wear.ts';
import type { Random } from '../random.ts';
import type { Life } from '../truth.ts';
import type { GunSpec } from './gun-spec.ts';

/** Shares of the wear limit whose passing the truth keeps. Source: own choice: those that scores ask for. */
const SHARES = [0.35, 0.5, 0.7, 0.9, 1];

/** One pump insert while it is in: it wears by what goes through it, and its story is kept for the truth. */
export class Insert {
  readonly #spec: GunSpec;
  readonly #lifeKg: number;
  readonly #curvature: number;
  readonly #referenceNm3h: number;
  readonly #story: Life;
  #wornKg: number;
  sprayMs = 0;
  kilograms = 0;
  loss: number;

  /** @param wornShare part of its life already used when it comes into view: 0 for a new one */
  constructor(
    spec: GunSpec,
    random: Random,
    startMs: number,
    wornShare: number,
    fittedAtStart: boolean,
    logged: boolean,
  ) {
    this.#spec = spec;
    this.#lifeKg = spec.insertLifeKg * random.lognormal(1, spec.insertSpread);
    this.#curvature = random.uniform(0.85, 1.3);
    // The life is told for the air of its middle age: a tenth above a new insert's need.
    this.#referenceNm3h = spec.usual.conveyingNm3h * 1.1;
    this.#wornKg = this.#lifeKg * wornShare;
    this.loss = lossOfSleeve(this.#wornKg, this.#lifeKg, spec.lossAtLife, this.#curvature);
    this.#story = {
      start: new Date(startMs).toISOString(),
      end: null,
      fittedAtStart,
      startLogged: logged,
      endLogged: false,
      startLoss: this.loss,
      endLoss: this.loss,
      found: null,
      curve: [],
      reached: SHARES.map((share) => ({ share, time: null, sprayHours: null })),
      limitSprayHours: null,
    };
    this.#note(startMs);
  }

  /** Lets powder through for a pull. */
  wear(kilograms: number, conveyingNm3h: number, abrasiveness: number, durationMs: number, endMs: number): void {
    this.#wornKg += kilograms * wearPerKilogram(conveyingNm3h, this.#referenceNm3h, abrasiveness);
    this.loss = lossOfSleeve(this.#wornKg, this.#lifeKg, this.#spec.lossAtLife, this.#curvature);
    this.kilograms += kilograms;
    this.sprayMs += durationMs;
    this.#note(endMs);
  }

  #note(timeMs: number): void {
    for (const mark of this.#story.reached)
      if (mark.time === null && this.loss >= mark.share * this.#spec.wearLimit) {
        mark.time = new Date(timeMs).toISOString();
        mark.sprayHours = this.sprayMs / 3_600_000;
      }
  }

  /** Writes the state at the end of a shift into the story. */
  chart(timeMs: number, excessAir: number | null): void {
    this.#story.curve.push({
      time: new Date(timeMs).toISOString(),
      sprayHours: this.sprayMs / 3_600_000,
      kilograms: this.kilograms,
      loss: this.loss,
      excessAir,
    });
  }

  /** Share of the gun's wear limit that is used up. */
  get used(): number {
    return this.loss / this.#spec.wearLimit;
  }

  /** The story so far; `end` closes it. */
  story(end: { timeMs: number; logged: boolean; found: Life['found'] } | null): Life {
    const story: Life = { ...this.#story, endLoss: this.loss };
    if (end) {
      story.end = new Date(end.timeMs).toISOString();
      story.endLogged = end.logged;
      story.found = end.found;
    }
    story.limitSprayHours = this.#limitSprayHours();
    return story;
  }

  /** Spray hours to the limit: as it happened, else carried on at the wear per hour of the last ten shifts. */
  #limitSprayHours(): number | null {
    const reached = this.#story.reached.find((mark) => mark.share === 1)!;
    if (reached.sprayHours !== null) return reached.sprayHours;
    const curve = this.#story.curve;
    const from = curve[Math.max(0, curve.length - 11)];
    const hours = this.sprayMs / 3_600_000;
    if (!from || hours - from.sprayHours < 2) return null;
    // The worn kilograms are what goes on at a steady rate; the loss follows from them along the curve.
    const wornAt = (loss: number): number => this.#lifeKg * (loss / this.#spec.lossAtLife) ** (1 / this.#curvature);
    const rate = (this.#wornKg - wornAt(from.loss)) / (hours - from.sprayHours);
    return rate > 0 ? hours + (wornAt(this.#spec.wearLimit) - this.#wornKg) / rate : null;
  }
}
