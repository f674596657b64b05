import type { Pack } from '../contract/index.ts';
import type { Decoded } from './decoded.ts';
import type { LearntRecord } from './learnt-record.ts';
import { PayloadMemory } from './literal-words.ts';
import { PackTemplate } from './pack-template.ts';
import type { StationPlan } from './station-plan.ts';

/** Most trust that a station's template can earn, and what learning another one costs. Source: own choice. */
const MOST_TRUST = 32;
const LEARNING = 4;

/** The template of one station, and whether learning one is worth its while: some stations send no two packs alike. */
class StationTemplate {
  readonly #memory: PayloadMemory;
  #template: PackTemplate | null = null;
  #trust = MOST_TRUST;

  constructor(memory: PayloadMemory) {
    this.#memory = memory;
  }

  /** @returns null to leave the pack to the usual way */
  read(payload: Buffer, receivedAt: number, aheadAfter: number): Pack | null {
    const pack = this.#template?.read(payload, receivedAt, aheadAfter) ?? null;
    if (pack !== null) {
      if (this.#trust < MOST_TRUST) this.#trust++;
    } else if (this.#trust < LEARNING) this.#trust += 1 / MOST_TRUST;
    return pack;
  }

  /** Whether the pack that is read in the usual way now should become the template. */
  get wanted(): boolean {
    return this.#trust >= LEARNING;
  }

  /**
   * Makes it the template, where it can be one.
   *
   * @param decoded what the usual way made of it; null where that gave up
   */
  learn(payload: Buffer, decoded: Decoded | null, marks: readonly number[], learnt: readonly LearntRecord[]): void {
    this.#trust -= LEARNING;
    if (!decoded?.ok || decoded.refusals.length > 0 || decoded.ahead !== null) return;
    this.#template = PackTemplate.learn(payload, decoded.pack, marks, learnt, this.#memory) ?? this.#template;
  }
}

/** The templates of all stations. */
export class StationTemplates {
  readonly #memory = new PayloadMemory();
  readonly #templates = new Map<StationPlan, StationTemplate>();

  of(plan: StationPlan): StationTemplate {
    const known = this.#templates.get(plan);
    if (known !== undefined) return known;
    const template = new StationTemplate(this.#memory);
    this.#templates.set(plan, template);
    return template;
  }
}
