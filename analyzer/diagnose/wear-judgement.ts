import type { Category } from '../../collector/contract/index.ts';
import type { ExcessAir } from '../baseline/excess-air.ts';
import { insertHours } from '../baseline/gun-memory.ts';
import { filterLoss } from '../baseline/motive-line.ts';
import { isAtStop } from '../baseline/regulator-stop.ts';
import { driftOf } from '../baseline/steady-level.ts';
import type { LimitBelief } from '../forecast/change-limit.ts';
import type { ShareBelief } from '../forecast/limit-share.ts';
import type { WayLeft } from '../forecast/remaining-life.ts';
import type { Candidate, Judgement } from './finding-book.ts';
import { percentOf } from './in-words.ts';
import type { Bench } from './site-view.ts';
import { rippleGrowth, wearCandidates } from './wear-candidates.ts';
import { besideWear, unreadInWords, wearInWords } from './wear-words.ts';

/** What is believed of an insert that is told. */
interface Told {
  readonly excess: ExcessAir;
  /** ln of the usual output, g/min. */
  readonly output: number;
  readonly limit: LimitBelief;
  readonly share: ShareBelief;
  readonly remaining: () => WayLeft | null;
}

/** What a finding on an insert says now. Words and candidates are put together where somebody reads them: at most looks nobody does, and the next look has its own. */
export function wearJudgement(bench: Bench, state: Told): Judgement {
  const { memory, pool } = bench;
  const { excess, output } = state;
  const stop = pool.guns[memory.id]?.stop;
  const share = Math.expm1(excess.wear);
  const limit = Math.exp(state.limit.log);
  const ripple = driftOf(memory.ripple);
  const { since, kilograms } = memory.insert;
  const sprayHours = insertHours(memory);
  const beside = {
    step: memory.step !== null,
    lineLoss: filterLoss(memory.conveying)?.mean ?? null,
    wear: share,
    total: Math.expm1(excess.total().log),
  };
  return new WearJudgement(
    share > limit ? 'out-of-specification' : 'maintenance-required',
    { growth: rippleGrowth(bench), share: state.share },
    shownExcess(bench, excess),
    state.remaining(),
    () =>
      bench.gun.output === 'coupled'
        ? unreadInWords(excess, { since, sprayHours })
        : wearInWords(
            excess,
            output,
            `change limit of this gun ${percentOf(limit, 1)} excess air; ${besideWear(beside)}`,
            { since, sprayHours, kilograms },
            ripple?.mean ?? null,
            stop !== undefined && isAtStop(stop),
          ),
  );
}

/** What candidates follow from. */
interface Behind {
  readonly growth: number | null;
  readonly share: ShareBelief;
}

class WearJudgement implements Judgement {
  readonly category: Category;
  readonly excessAir: number | null;
  readonly remaining: WayLeft | null;
  readonly evidence: () => readonly string[];
  readonly #behind: Behind;

  constructor(
    category: Category,
    behind: Behind,
    excessAir: number | null,
    remaining: WayLeft | null,
    evidence: () => readonly string[],
  ) {
    this.category = category;
    this.#behind = behind;
    this.excessAir = excessAir;
    this.remaining = remaining;
    this.evidence = evidence;
  }

  get candidates(): readonly Candidate[] {
    return wearCandidates(this.#behind.growth, this.#behind.share);
  }
}

/** Excess air is told of outputs that are set apart from the air (contract section 3). */
export function shownExcess({ gun }: Bench, excess: ExcessAir): number | null {
  return gun.output === 'coupled' ? null : Math.expm1(excess.total().log);
}
