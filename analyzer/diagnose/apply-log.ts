import { isPartId, type LogEntry } from '../../collector/contract/index.ts';
import { fitLoggedInsert } from '../baseline/change-proof.ts';
import { curesUnread } from '../baseline/cures-unread.ts';
import { excessAirOf } from '../baseline/excess-air.ts';
import { keepFirstSight } from '../baseline/first-sight.ts';
import { decayQuantity, resetQuantity } from '../baseline/gaussian-state.ts';
import { newInsert } from '../baseline/gun-memory.ts';
import { openFilter, openMeter } from '../baseline/motive-line.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { loosenLevel } from '../baseline/pump-wear.ts';
import { openLevel, openToStep } from '../baseline/steady-level.ts';
import { loosensUnread, refitsUnread, renewsUnread } from '../baseline/unread-powder.ts';
import { usualOutput } from '../baseline/usual-output.ts';
import { teachLimit } from '../forecast/change-limit.ts';
import { bringUpToDate, type FindingBook } from './finding-book.ts';
import type { Bench } from './site-view.ts';
import { stepCandidates } from './step-candidates.ts';
import { pulsesSurely, stepSigns } from './step-signs.ts';

const KEEP_LOG_MS = 10 * 86_400_000;
/** How far leak and ripple (ln) may fall when a part is replaced while it leaks, and when it only went back in. Source: own choice, seal steps of 6–15 % air, and a part of that. */
const REPLACED = { leak: 0.12, ripple: 0.6 };
const REFITTED = { leak: 0.05, ripple: 0.25 };
const CHANGES = ['replaced', 'cleaned', 'refitted', 'adjusted'];

/** Takes one line of the maintenance log into what is believed of its gun. The log alone clears nothing. */
export function applyLog(bench: Bench, entry: LogEntry): void {
  const { memory } = bench;
  memory.log.push(entry);
  while (memory.log.length > 0 && memory.log[0]!.time < entry.time - KEEP_LOG_MS) memory.log.shift();
  if (entry.action === 'inspected') noteCheck(bench, entry);
  if (entry.part === 'pump-insert') applyInsert(bench, entry);
  else if (CHANGES.includes(entry.action)) applyOther(bench, entry);
}

/** What a check by hand found weighs the candidates of the gun's open findings from now on. */
function noteCheck(bench: Bench, entry: LogEntry): void {
  noteCheckIn(bench.book, bench.memory.id, entry);
  for (const { book } of bench.apart ?? []) noteCheckIn(book, bench.memory.id, entry);
}

function noteCheckIn(book: FindingBook, gun: string, { part, found, measured }: LogEntry): void {
  if (!isPartId(part) || (found === null && !measured)) return;
  for (const finding of book.open)
    if (finding.gun === gun) {
      bringUpToDate(finding);
      finding.checks = [...(finding.checks ?? []), measured ? { part, found, measured } : { part, found }];
    }
}

function applyInsert(bench: Bench, entry: LogEntry): void {
  const { memory, pool } = bench;
  const output = usualOutput(memory.usualOutput);
  const excess = output === null ? null : excessAirOf(pool, memory.id, memory.powder, output);
  if (entry.found !== null && excess !== null && excess.wear > 0.01)
    teachLimit(
      memory.limit,
      entry.found,
      Math.log(Math.expm1(excess.wear)),
      excess.wearSd / Math.max(excess.wear, 0.02),
    );
  if (entry.action !== 'replaced') return;
  const leaks = sealsLeak(bench);
  if (memory.step !== null) memory.step.tried.push({ time: entry.time, part: entry.part, atHours: memory.sprayHours });
  const { clock, logged } = memory.insert;
  if (logged && entry.found !== null && clock > 0) memory.lives.push({ clock, found: entry.found });
  keepFirstSight(pool, memory);
  fitLoggedInsert(pool, memory.id, leaks);
  if (memory.unread !== null) renewsUnread(memory.unread);
  memory.insert = newInsert(entry.time, true, memory.sprayHours);
}

/** Probability of seals from which what they lose is theirs when the insert is changed. Source: own choice, three to one. */
const SEALS_SURE = 0.75;

/** True while a step is open that seals explain best. */
function sealsLeak(bench: Bench): boolean {
  const { step } = bench.memory;
  if (step === null || step.upward) return false;
  const seals = stepCandidates(bench.memory, stepSigns(bench)).filter(({ cause }) => cause.endsWith('-seals'));
  return seals.reduce((sum, { probability }) => sum + probability, 0) > SEALS_SURE;
}

function applyOther(bench: Bench, entry: LogEntry): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  const { part } = entry;
  if (part === 'pump-seals' || part === 'gun-seals' || part === 'powder-hose' || part === 'gun-tube') {
    loosenLevel(
      pool,
      memory.id,
      entry.action === 'refitted' || entry.action === 'cleaned' ? PRIORS.refit : PRIORS.exchange,
    );
    const cure = entry.action === 'replaced' ? REPLACED : REFITTED;
    if (memory.unread !== null) {
      refitsUnread(memory.unread, entry.time);
      if (entry.action === 'replaced') curesUnread(memory.unread, part.endsWith('-seals') ? 'seals' : 'hose');
    }
    openToStep(memory.ripple, memory.step === null ? 0.05 : cure.ripple);
    if (memory.step !== null) {
      if (gun !== undefined) decayQuantity(pool.gaussian, gun.leak, 1, cure.leak ** 2);
      if (entry.action === 'replaced') memory.step.tried.push({ time: entry.time, part, atHours: memory.sprayHours });
    }
  }
  if (part === 'nozzle' || part === 'electrode-holder') loosenLevel(pool, memory.id, PRIORS.exchange);
  if (part === 'conveying-filter') openFilter(memory.conveying, 0.15);
  if (part === 'supplementary-filter') openToStep(memory.supplementary, 0.2);
  if (part === 'fluidizing-ring') {
    openToStep(memory.fluidizing, 0.3);
    openToStep(memory.unsteadiness, 0.3);
    loosenLevel(pool, memory.id, PRIORS.exchange);
  }
  if (part === 'inlet-filter') openToStep(memory.sag, 0.3);
  if (part.startsWith('sensor:')) applySensor(bench, part.slice(7));
}

/** Channels of which the loss of pumping effect is made. */
const LOSS_RESTS_ON: readonly string[] = ['conveying/flow', 'powder/output', 'powder/mass'];

/** An exchanged sensor may read otherwise: what rests on it is learnt again, give or take its tolerance. */
function applySensor(bench: Bench, channel: string): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (channel === 'conveying/flow' || channel === 'conveying/pressure') openMeter(memory.conveying);
  if (channel === 'supplementary/flow' || channel === 'supplementary/pressure') openLevel(memory.supplementary, 0.1);
  if (channel === 'fluidizing/flow' || channel === 'fluidizing/pressure') openLevel(memory.fluidizing, 0.1);
  if (channel === 'conveying/ripple') openLevel(memory.ripple, 0.5);
  if (memory.unread !== null && (channel === 'conveying/flow' || channel === 'powder/output'))
    loosensUnread(memory.unread);
  if (gun === undefined) return;
  if (channel === 'conveying/flow') decayQuantity(pool.gaussian, gun.level, 1, 0.08 ** 2);
  if (channel === 'powder/output') decayQuantity(pool.gaussian, gun.level, 1, 0.1 ** 2);
  // What was lost may have been the meter's; where the air pulses it is a leak's, whatever meter reads it.
  if (memory.step !== null && LOSS_RESTS_ON.includes(channel) && !pulsesSurely(stepSigns(bench)))
    resetQuantity(pool.gaussian, gun.leak, 0, 0.003 ** 2);
}
