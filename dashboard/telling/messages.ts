import { CAUTIONS, type Job, type LoopJob } from '../../analyzer/index.ts';
import { counted, type Finding, type Plant, withPowderNamed } from '../../collector/contract/index.ts';
import { gunName } from '../shop/basis.ts';
import { localText } from './local-times.ts';

/** A letter without its id. */
export interface Wording {
  readonly subject: string;
  readonly text: string;
}

const WORDS = {
  failure: 'failure',
  'function-check': 'function check',
  'out-of-specification': 'out of specification',
  'maintenance-required': 'maintenance required',
} as const;

/** Names of the guns that a finding is about. */
export function about(plant: Plant, { gun, guns }: Pick<Finding, 'gun' | 'guns'>): string {
  return gun === null ? (guns ?? []).map((id) => gunName(plant, id)).join(', ') : gunName(plant, gun);
}

const siteName = ({ site }: Plant): string => site.name ?? site.id;
const link = (address: string, path: string): string => (address === '' ? '' : `\n\n${address}${path}`);

/** Text that a finding was raised. */
export function raisedLetter(plant: Plant, finding: Finding, job: Job | null, address: string): Wording {
  const { timezone } = plant.site;
  const what = job?.action ?? finding.cause;
  const hours = finding.remaining?.sprayHours;
  const lines = [
    `${about(plant, finding)}: ${what}.`,
    `${WORDS[finding.category]}, since ${localText(Date.parse(finding.raised), timezone)} (${timezone}).`,
    ...finding.evidence.map((one) => `- ${withPowderNamed(one, plant.powders)}`),
    ...(hours
      ? [
          `About ${counted(Math.round(hours.p50), 'spray hour')} left (80 % interval ${Math.round(hours.p10)} to ${Math.round(hours.p90)}).`,
        ]
      : []),
    '',
    'Before hands go to the equipment:',
    ...CAUTIONS.map((one) => `- ${one}`),
  ];
  return {
    subject: `[${siteName(plant)}] ${about(plant, finding)}: ${what} (${WORDS[finding.category]})`,
    text: `${lines.join('\n')}${link(address, '/jobs')}\n`,
  };
}

/** What the digest of a day needs. */
export interface Digest {
  readonly date: string;
  /** Of the maintenance loop, most pressing first. */
  readonly jobs: readonly LoopJob[];
  /** Work of the plan that is due later than this is left out, epoch ms. */
  readonly until: number;
  /** Findings raised and cleared since the digest before. */
  readonly raised: number;
  readonly cleared: number;
  /** Parts that are to be ordered, and how many. */
  readonly toOrder: readonly { readonly part: string; readonly order: number }[];
  readonly shortOf: (part: string) => string | null;
}

/** The daily digest. On a quiet day it says so: who hears nothing cannot tell well from broken. */
export function digestLetter(plant: Plant, digest: Digest, address: string): Wording {
  const { date, until, raised, cleared, toOrder } = digest;
  const standing = digest.jobs.filter(({ state }) => state === 'open' || state === 'planned');
  const away = (alert: LoopJob['alert']): number => standing.filter((job) => job.alert === alert).length;
  const jobs = standing.filter(
    ({ alert, source, due }) =>
      alert !== 'shelved' && alert !== 'suppressed-by-design' && (source === 'finding' || (due ?? 0) <= until),
  );
  const [shelved, suppressed] = [away('shelved'), away('suppressed-by-design')];
  const watched = digest.jobs.filter(({ state }) => state === 'done').length;
  const lines = [
    `${siteName(plant)}, ${date}`,
    '',
    // Not that all guns are well: one that is silent or still learnt has no jobs either.
    jobs.length === 0 ? 'Nothing to do.' : `To do (${jobs.length}), most pressing first:`,
    ...jobs.map((job) => `- ${jobLine(job, plant, digest)}`),
    '',
    ...(watched === 0 ? [] : [`Done and waiting for proof: ${watched}.`]),
    ...(shelved === 0 ? [] : [`On the shelf: ${shelved}.`]),
    ...(suppressed === 0 ? [] : [`Of guns out of service: ${suppressed}.`]),
    `Since the last digest: ${raised} raised, ${cleared} cleared.`,
    ...(toOrder.length === 0 ? [] : ['', 'To order:', ...toOrder.map(({ part, order }) => `- ${order} ${part}`)]),
  ];
  const count = jobs.length === 0 ? 'nothing to do' : `${jobs.length} to do`;
  return { subject: `[${siteName(plant)}] ${date}: ${count}`, text: `${lines.join('\n')}${link(address, '/')}\n` };
}

/** "Booth 1 left: Change the pump insert (maintenance required, within 3 shifts) - none on the shelf, none on order". */
function jobLine(job: LoopJob, { site }: Plant, { shortOf }: Digest): string {
  const { gunName: gun, action, byShifts, category, part, source, planned, reopened } = job;
  const when =
    planned !== null
      ? `planned for ${localText(planned.for, site.timezone)}`
      : byShifts === null
        ? 'at the next stop'
        : byShifts < 1
          ? 'this shift'
          : `within ${Math.floor(byShifts)} ${byShifts < 2 ? 'shift' : 'shifts'}`;
  const what = source === 'plan' ? 'by plan' : WORDS[category];
  const short = part === null ? null : shortOf(part);
  return `${gun}: ${action} (${reopened ? 'not cured, ' : ''}${what}, ${when})${short === null ? '' : ` - ${short}`}`;
}
