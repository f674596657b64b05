import type { GunView, Job } from '../../analyzer/index.ts';
import type { Finding, GunCondition } from '../../collector/contract/index.ts';

/** 11 March 2026, 14:32 in Vienna. */
export const NOON = Date.UTC(2026, 2, 11, 13, 32);
const HOUR = 3_600_000;
const iso = (ms: number): string => new Date(ms).toISOString();

/** The eight guns of an invented hall. */
export const GUN_NAMES = [
  'Booth 1 left',
  'Booth 1 right',
  'Booth 1 touch-up',
  'Booth 2 left',
  'Booth 2 right',
  'Booth 2 touch-up',
  'Booth 3 left',
  'Booth 3 right',
];

export const gunId = (index: number): string => `gun-${String(index + 1).padStart(2, '0')}`;

/** A gun that is well, `share` of the way to its limit. */
export function wellView(index: number, name: string, share: number): GunView {
  const needed = 2.9 + (index % 4) * 0.15;
  const excess = 0.2 * share;
  const left = 1 - share;
  return {
    id: gunId(index),
    name,
    state: 'good',
    learning: null,
    powder: 'p-white-07',
    usualOutput: 180,
    neededAir: needed,
    actualAir: needed * (1 + excess),
    excessAir: { p10: excess - 0.015, p50: excess, p90: excess + 0.015 },
    changeLimit: 0.2,
    wearLeft: left,
    remaining: { p10: left * 70, p50: left * 100, p90: left * 150 },
    insertSince: NOON - 20 * 24 * HOUR,
    insertLogged: true,
    airNeeds: [],
    sprayHoursSinceInsert: share * 95,
    kilogramsSinceInsert: share * 95 * 10.8,
    sprayHoursPerShift: 3,
    asOf: NOON - 20_000,
  };
}

const CAUTIONS = [
  'Switch off and discharge high voltage; keep gun and operator earthed.',
  'Stop and lock out the supply; release all air pressure before opening a pump, filter or hose.',
  'Powder clouds and deposits can ignite: ventilation on, no ignition sources, clean up with equipment rated for combustible dust.',
  'Breathing and eye protection; blow parts through away from people and never into a powder cloud.',
  'Gloves must not insulate the hand from an earthed gun; refit conductive seals and hoses only by their like.',
  'Follow local codes, the equipment’s own manual, and let only trained persons do it.',
];

const JUDGE = { good: 'as new', worn: 'worn', failed: 'broken' };

export const INSERT_JOB: Job = {
  rank: 1,
  gun: 'gun-01',
  gunName: 'Booth 1 left',
  part: 'pump-insert',
  cause: 'pump-insert',
  category: 'maintenance-required',
  action: 'Change the pump insert',
  reason: 'Conveying air for 180 g/min is up 11.8 % over 96 spray hours, without a step.',
  byShifts: 3,
  bySprayHours: { p10: 22, p50: 37, p90: 61 },
  probability: 0.86,
  candidates: [
    { cause: 'pump-insert', probability: 0.86 },
    { cause: 'pump-seals', probability: 0.09 },
  ],
  benchCheck: {
    part: 'pump-insert',
    title: 'Wear gauge in the pump insert',
    steps: [
      'Take the insert out and clean it.',
      'Push the wear gauge in: it enters to its shoulder when the insert is worn, and stands off about 25 mm when new.',
    ],
    judge: JUDGE,
    measure: null,
  },
  cautions: CAUTIONS,
  finding: { gun: 'gun-01', cause: 'pump-insert', raised: iso(NOON - 49 * HOUR) },
  evidence: [
    'Conveying air needed for 180 g/min up 11.8 % over 96 spray hours, no step.',
    'Conveying conductance unchanged within 0.6 %.',
  ],
};

export const SEAL_JOB: Job = {
  ...INSERT_JOB,
  rank: 2,
  gun: 'gun-05',
  gunName: 'Booth 2 right',
  part: 'pump-seals',
  cause: 'pump-seals',
  action: 'Change the pump seals',
  reason: 'Air for the same output stepped up 8.4 % at the refit on Monday, and ripple doubled.',
  byShifts: 0.4,
  bySprayHours: null,
  probability: 0.71,
  candidates: [
    { cause: 'pump-seals', probability: 0.71 },
    { cause: 'gun-seals', probability: 0.22 },
  ],
  benchCheck: {
    part: 'gun-seals',
    title: 'Pull at the hose',
    steps: [
      'With the air off, pull at the powder hose: it comes out without its release collar when the seals are gone.',
    ],
    judge: JUDGE,
    measure: null,
  },
  finding: { gun: 'gun-05', cause: 'pump-seals', raised: iso(NOON - 30 * HOUR) },
  evidence: ['Step of 8.4 % at a refit on 9 March.', 'Ripple 0.021 bar, before 0.010 bar.'],
};

export const FILTER_JOB: Job = {
  ...INSERT_JOB,
  rank: 3,
  gun: 'gun-08',
  gunName: 'Booth 3 right',
  part: 'conveying-filter',
  cause: 'conveying-filter',
  category: 'out-of-specification',
  action: 'Change the conveying filter',
  reason: 'Conductance of the conveying line is down 14 % at the gun’s usual pressure.',
  byShifts: null,
  bySprayHours: null,
  probability: 0.64,
  candidates: [
    { cause: 'conveying-filter', probability: 0.64 },
    { cause: 'sensor:conveying/pressure', probability: 0.2 },
  ],
  benchCheck: {
    part: 'conveying-filter',
    title: 'Blow the filter through',
    steps: ['Take the filter off and blow it through, away from people.', 'Compare with a new one.'],
    judge: JUDGE,
    measure: null,
  },
  finding: { gun: 'gun-08', cause: 'conveying-filter', raised: iso(NOON - 5 * HOUR) },
  evidence: ['Conveying conductance 0.118, before 0.137 dm³/(s·bar).'],
};

/** A finding behind a job. */
export function findingOf(job: Job): Finding {
  return {
    gun: job.gun,
    cause: job.cause,
    category: job.category,
    onset: iso(Date.parse(job.finding.raised) - 60 * HOUR),
    raised: job.finding.raised,
    asOf: iso(NOON - 20_000),
    cleared: null,
    candidates: [...job.candidates],
    excessAir: job.cause === 'pump-insert' ? 0.118 : null,
    remaining: job.bySprayHours ? { sprayHours: job.bySprayHours } : null,
    evidence: [...job.evidence],
  };
}

/** The condition that view and findings make. */
export function conditionOf(view: GunView, findings: readonly Finding[]): GunCondition {
  return {
    id: view.id,
    name: view.name,
    state: findings[0]?.category ?? view.state,
    ageSeconds: null,
    asOf: view.asOf === null ? null : iso(view.asOf),
    findings: findings.filter(({ gun }) => gun === view.id),
  };
}
