import type { EvaluationCase, LifeTruth } from './evaluation-case.ts';
import { lossAt } from './evaluation-case.ts';
import { EARLIEST_SHARE, type Match } from './match-findings.ts';

/** Share of the wear limit after which a flag is late. Source: own choice, because a tenth of the life is what ordering and planning need. */
export const LATEST_SHARE = 0.9;

/** What went wrong in a hall, one sentence each, in order of time: false findings, wrong names, missed faults and inserts. */
export function misses(one: EvaluationCase, matches: readonly Match[]): string[] {
  const told: { readonly time: number; readonly gun: string; readonly text: string }[] = [];
  for (const { finding, asRaised, raised, fault, life, share, worn } of matches) {
    const gun = finding.gun ?? (finding.guns ?? []).join(' ');
    const sure = asRaised.candidates[0]?.probability.toFixed(2) ?? 'no candidate';
    const said = `${finding.cause} (${sure}): ${asRaised.evidence[0] ?? ''}`;
    if (!fault && !life)
      told.push({
        time: raised,
        gun,
        text: `${worn ? 'early' : 'false'} ${said}${share === null ? '' : `, at ${percent(share)} of the wear limit`}`,
      });
    else if (fault && fault.cause !== asRaised.candidates[0]?.cause)
      told.push({ time: raised, gun, text: `${fault.cause} taken for ${said}` });
  }
  for (const fault of one.faults)
    if (!matches.some((match) => match.fault === fault))
      told.push({
        time: fault.onset,
        gun: fault.guns.join(' '),
        text: `${fault.shape} of ${fault.cause} not found, size ${fault.size.toFixed(3)}, ${fault.sprayHours.toFixed(1)} spray hours`,
      });
  for (const life of one.guns.flatMap(({ lives }) => lives)) {
    const fate = life.reached70 ? fateOf(one, life, matches) : null;
    if (fate) told.push({ time: life.start, gun: life.gun, text: `insert (${life.origin}) ${fate}` });
  }
  return told
    .sort((a, b) => a.time - b.time)
    .map(
      ({ time, gun, text }) =>
        `${one.scenario}/${one.seed} ${new Date(time).toISOString().slice(0, 16)} ${gun} ${text}`,
    );
}

/** How an insert that passed 70 % of its limit was missed; null when it was flagged in time. */
function fateOf(one: EvaluationCase, life: LifeTruth, matches: readonly Match[]): string | null {
  const first = matches
    .filter(
      ({ finding, raised }) => finding.cause === 'pump-insert' && finding.gun === life.gun && raised >= life.start,
    )
    .filter(({ raised }) => life.end === null || raised < life.end)
    .sort((a, b) => a.raised - b.raised)[0];
  if (!first)
    return `not flagged, changed at ${percent(lossAt(life, life.end ?? one.end) / life.wearLimit)} of its limit`;
  const share = lossAt(life, first.raised) / life.wearLimit;
  return share >= EARLIEST_SHARE && share <= LATEST_SHARE ? null : `flagged at ${percent(share)} of its limit`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}
