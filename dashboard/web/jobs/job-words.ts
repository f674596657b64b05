import type { LoopJob } from '../../../analyzer/index.ts';
import { now } from '../link/live.ts';
import { causeName } from '../words/names.ts';
import { clock, day, type TimeStyle } from '../words/site-time.ts';

/** How far a job has come, in a few words. */
export function stateWords(job: LoopJob): string {
  if (job.state === 'done') return 'Done, waiting for proof';
  if (job.state === 'proven') return 'Proven';
  if (job.state === 'gone') return 'Gone by itself';
  const state = job.state === 'planned' ? 'Planned' : 'Open';
  return job.reopened ? `Not cured, ${state.toLowerCase()} again` : state;
}

/** State of its alert, as ISA-18.2 has them. */
export function alertWords(job: LoopJob, style: TimeStyle): string {
  switch (job.alert) {
    case 'unacknowledged':
      return 'not acknowledged';
    case 'acknowledged':
      return `seen by ${job.acknowledged?.who ?? job.planned?.who ?? job.shelved?.who ?? 'who worked on it'}`;
    case 'returned-unacknowledged':
      return 'signal back, not acknowledged';
    case 'shelved':
      return job.shelved === null
        ? 'on the shelf'
        : `shelved until ${at(job.shelved.until, style)}: ${job.shelved.reason} (${job.shelved.who})`;
    case 'suppressed-by-design':
      return `suppressed: gun out of service${job.suppressed === null ? '' : `, ${job.suppressed.reason}`}`;
    default:
      return '';
  }
}

/** When a job is proposed or planned to be done. */
export function stopWords({ stop }: LoopJob, style: TimeStyle): string {
  if (stop === null) return '';
  return stop.kind === 'at-once' ? 'at once' : `${at(stop.at, style)}, ${stop.name}`;
}

/** "Wed 11 Mar, 14:32", with its year where that could be another. */
export function at(ms: number, style: TimeStyle): string {
  return `${day(ms, style, now.value)}, ${clock(ms, style)}`;
}

/** What was done against it so far, each a sentence. */
export function attemptWords(job: LoopJob, style: TimeStyle): string[] {
  return job.attempts.map(({ part, action, time, outcome, sprayHoursSince }) => {
    const did = `${causeName(part)} ${action ?? 'seen to'}, ${at(time, style)}`;
    const hours = `${sprayHoursSince.toFixed(1)} spray hours since`;
    if (outcome === 'cured')
      return `${did}: ${job.source === 'plan' ? 'nothing against it since' : 'the signal came back'}.`;
    if (outcome === 'not-cured') return `${did}: did not cure (${hours}).`;
    return `${did}: too early to tell (${hours}).`;
  });
}
