import { type ExcessAir, excessAirOf, lossAt } from '../baseline/excess-air.ts';
import { usualOutput } from '../baseline/usual-output.ts';
import { type LimitBelief, limitBelief } from '../forecast/change-limit.ts';
import { limitShare, type ShareBelief } from '../forecast/limit-share.ts';
import { type LifeSoFar, type WayLeft, wayLeft } from '../forecast/remaining-life.ts';
import { takeFallen } from './fallen-wear.ts';
import { clear, findOpen, type Judgement, type OpenFinding, raise, update } from './finding-book.ts';
import { causeInWords, percentOf as percentTo } from './in-words.ts';
import { shareSinceMet } from './met-share.ts';
import { notCured, proveChange } from './prove-change.ts';
import type { Bench } from './site-view.ts';
import { isToldNow } from './tell-wear.ts';
import { rippleGrowth, wearCandidates } from './wear-candidates.ts';
import { chancePast, mayBeDue, NOT_BEFORE, SHARE } from './wear-due.ts';
import { shownExcess, wearJudgement } from './wear-judgement.ts';
import { withoutLeak } from './wear-or-leak.ts';
import { wholeLife } from './whole-life.ts';

/** Everything about a gun's insert at one time. */
export interface WearState {
  readonly excess: ExcessAir;
  readonly output: number;
  readonly limit: LimitBelief;
  /** How much of the limit is used. */
  readonly share: ShareBelief;
  /** How far it is to the limit; reckoned when asked for. */
  readonly remaining: () => WayLeft | null;
}

/** Runs of this gun, and of it with the powder in use, that the signal still lacks; null when it knows enough. */
export function wearLearning(bench: Bench): { have: number; need: number } | null {
  const { memory, tunables } = bench;
  const have = Math.min(memory.runs, memory.powderRuns[memory.powder] ?? 0);
  return have < tunables.learningRuns ? { have, need: tunables.learningRuns } : null;
}

/** What the insert needs at the usual output, whatever the settings say. */
interface InsertAir {
  readonly excess: ExcessAir;
  /** ln of the usual output, g/min. */
  readonly output: number;
}

/** The insert as believed now; null where output does not tell of it. */
export function wearState(bench: Bench): WearState | null {
  const air = insertAir(bench);
  return air === null ? null : against(bench, air);
}

function insertAir({ memory, pool }: Bench): InsertAir | null {
  const output = usualOutput(memory.usualOutput);
  if (output === null) return null;
  const excess = excessAirOf(pool, memory.id, memory.powder, output);
  return excess === null ? null : { excess, output };
}

/** Set against the limit of these settings. */
function against(bench: Bench, { excess: read, output }: InsertAir): WearState {
  const { memory, pool, tunables } = bench;
  // On a set output a hand answers wear and leak alike.
  const excess = memory.unread === null || bench.gun.output === 'setpoint' ? read : withoutLeak(read, memory.unread);
  const limit = limitBelief(memory.limit, tunables.changeLimitExcessAir);
  const soFar = lifeSoFar(bench);
  const share =
    memory.insert.since === null
      ? shareSinceMet(bench, excess, limit, [NOT_BEFORE, SHARE])
      : limitShare(excess, limit, soFar);
  const loss = lossAt(pool, memory.id, excess, Math.exp(limit.log));
  const remaining = (): WayLeft | null =>
    wayLeft(pool, memory.id, loss, loss * limit.sd * 0.9, memory.clockPerHour, soFar);
  return { excess, output, limit, share, remaining };
}

/** Age of an insert whose start is known, with what past lives of all guns say of its whole. */
function lifeSoFar({ memory, pool, guns }: Bench): LifeSoFar | null {
  if (memory.insert.since === null || memory.insert.inVain === true) return null;
  const whole = wholeLife(pool, guns, memory.id);
  return whole === null ? null : { clock: memory.insert.clock, whole };
}

/** What is told ends below a third of the limit, when this little speaks for half of it. Source: own choice. */
const HARDLY = 0.2;

/** Judges the insert of a gun; what is believed of it does not follow from what is found, so settings that are tried together need not agree here. */
export function judgeWear(bench: Bench): void {
  const proof = proveChange(bench);
  const met = insertAir(bench);
  const fallen = met !== null && proof !== 'open' && bench.gun.output !== 'coupled' && takeFallen(bench, met.excess);
  const air = fallen ? insertAir(bench) : met;
  let limit = Number.NaN;
  let said: Said | null = null;
  for (const own of bench.apart ?? [bench]) {
    const open = findOpen(own.book, own.memory.id, 'wear');
    if (air === null || (open === undefined && isQuiet(own, air.excess))) continue;
    if (said === null || limit !== own.tunables.changeLimitExcessAir) {
      limit = own.tunables.changeLimitExcessAir;
      said = saidOf(own, against(own, air));
    }
    judgeInsert(own, open, proof, said);
  }
}

/** True where nothing is raised at this look, and nothing kept of it: most looks are such. */
function isQuiet(bench: Bench, excess: ExcessAir): boolean {
  if (wearLearning(bench) !== null) return true;
  const { memory, book, tunables } = bench;
  return (
    book.due[memory.id] === undefined && !mayBeDue(limitBelief(memory.limit, tunables.changeLimitExcessAir), excess)
  );
}

/** What all settings with one change limit say alike; put together when the first of them asks. */
interface Said {
  readonly state: WearState;
  readonly verdict: () => Judgement;
}

function saidOf(bench: Bench, state: WearState): Said {
  let verdict: Judgement | null = null;
  return {
    state,
    verdict: () => {
      verdict ??= wearJudgement(bench, state);
      return verdict;
    },
  };
}

/** Probability below which a slow leak is none any more. Source: own choice, with ripple back next to what it was. */
const NO_LEAK = 0.05;

/** True of a slow loss that was told as a leak and pulses no more, as after new seals, while the loss stays: a finding is known by its cause. */
function isInsertNow(bench: Bench, open: OpenFinding, said: Said['verdict']): boolean {
  if (open.cause === 'pump-insert' || rippleGrowth(bench) === null) return false;
  const { candidates } = said();
  const own = candidates.find(({ cause }) => cause === open.cause)?.probability ?? 0;
  return candidates[0]?.cause === 'pump-insert' && own < NO_LEAK;
}

function judgeInsert(
  bench: Bench,
  open: OpenFinding | undefined,
  proof: ReturnType<typeof proveChange>,
  { state, verdict: said }: Said,
): void {
  const { memory, book, now, told } = bench;
  const { excess, share } = state;
  const excessAir = Math.expm1(excess.wear);
  if (open !== undefined) {
    if (proof === 'open') return;
    const { since } = memory.insert;
    if (proof === 'cured' && since !== null && open.raised < since) {
      // What the new one has worn while its proof was gathered is not what was found on the one before.
      clear(book, open, now, memory.sprayHours, backInWords(excessAir), told);
      return;
    }
    if (proof === 'in-vain' && excessAir >= NOT_BEFORE * Math.exp(state.limit.log)) {
      update(
        open,
        notCured(open, wearCandidates(rippleGrowth(bench), share), shownExcess(bench, excess)),
        now,
        memory.sprayHours,
        told,
      );
      return;
    }
    if (share.log < Math.log(NOT_BEFORE) && chancePast(share, SHARE) < HARDLY) {
      clear(book, open, now, memory.sprayHours, backInWords(excessAir), told);
      return;
    }
    if (!isInsertNow(bench, open, said)) {
      update(open, said(), now, memory.sprayHours, told);
      return;
    }
    const why = `the evidence speaks for the pump insert now, and no more for ${causeInWords(open.cause)}`;
    clear(book, open, now, memory.sprayHours, why, told);
  }
  if (proof === 'open') return;
  if (!isToldNow(bench, state)) return;
  const verdict = said();
  raise(
    book,
    {
      gun: memory.id,
      cause: verdict.candidates[0]!.cause,
      subject: 'wear',
      onset: onsetOf(bench, excessAir),
      now,
      sprayHours: memory.sprayHours,
    },
    verdict,
    told,
  );
}

/** When the loss began to matter: the spray hours that its share of the way took, back from now; not before the insert's change. */
function onsetOf(bench: Bench, share: number): number {
  const { memory, now, tunables } = bench;
  const since = memory.insert.since ?? now - 30 * 86_400_000;
  const part = share > 0 ? Math.min(1, tunables.smallestChange / share) : 1;
  return since + part * (now - since);
}

const percentOf = (share: number): string => percentTo(share, 1);
const backInWords = (excessAir: number): string =>
  `air per output is back: ${percentOf(excessAir)} over a new insert’s need`;
