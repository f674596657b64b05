import { FEWEST_GUN_YEARS } from './observed.ts';
import type { DesignedPromise, ObservedPromise, SimulatedPromise } from './promise.ts';

/** The three rates of false findings, apart from each other; what is not known here is null. */
export interface PromiseFigures {
  readonly accepted: number;
  readonly designed: DesignedPromise;
  readonly simulated: SimulatedPromise | null;
  readonly observed: ObservedPromise | null;
}

/** The promise as lines of text for a terminal. */
export function promiseText({ accepted, designed, simulated, observed }: PromiseFigures): string {
  return [
    `Accepted by the settings: ${accepted} findings against a part per gun and year without cause, all signals together`,
    '',
    'Designed, by run-length theory:',
    ...designedLines(designed),
    '',
    'Simulated, on healthy guns:',
    ...(simulated === null ? ['  not simulated'] : simulatedLines(simulated)),
    '',
    'Observed here:',
    ...(observed === null ? ['  no data folder given (--data)'] : observedLines(observed)),
    '',
  ].join('\n');
}

function designedLines({ signals, perGunYear }: DesignedPromise): string[] {
  const rows = [
    ...signals.map(({ signal, share, perGunYear, detector }) => [
      signal,
      `${(100 * share).toFixed(1)} %`,
      perGunYear.toFixed(3),
      detector,
    ]),
    ['the gun as a whole', '100.0 %', perGunYear.toFixed(3), ''],
  ];
  const all = [['signal', 'share', 'per gun-year', 'detector'], ...rows];
  const widths = [0, 1, 2].map((column) => Math.max(...all.map((row) => row[column]!.length)));
  return [
    ...all.map((row) => `  ${row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  ')}`.trimEnd()),
    ...[...new Set(signals.map(({ kind, corrections }) => `  ${kind}s corrected for: ${corrections.join('; ')}`))],
    '  A step chart’s alarm is not a finding yet: further proof makes it rarer.',
  ];
}

function simulatedLines({ perGunYear, wrong, gunYears, halls, firstSeed, byCause }: SimulatedPromise): string[] {
  const { value, low, high } = perGunYear;
  return [
    `  ${value.toFixed(2)} per gun-year (${low.toFixed(2)} to ${high.toFixed(2)}, exact Poisson limits of 95 %): ${wrong} in ${gunYears.toFixed(1)} gun-years`,
    ...(byCause.length === 0 ? [] : [`  against ${byCause.map((one) => `${one.cause} ${one.wrong}`).join(', ')}`]),
    `  ${halls} halls of our own simulation, seeds ${firstSeed} to ${firstSeed + halls - 1}: inserts wear nearly up to the smallest change, nothing else is wrong`,
  ];
}

function observedLines({ perGunYear, wrong, right, notJudged, gunYears }: ObservedPromise): string[] {
  const counts = `${wrong} judged wrong, ${right} right, ${notJudged} not judged, in ${gunYears.toFixed(1)} gun-years`;
  if (perGunYear === null) return [`  too little data: ${counts}; told from ${FEWEST_GUN_YEARS} gun-years on`];
  const { value, low, high } = perGunYear;
  return [
    `  ${value.toFixed(2)} per gun-year (${low.toFixed(2)} to ${high.toFixed(2)}, exact Poisson limits of 95 %): ${counts}`,
  ];
}
