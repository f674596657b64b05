import { hoursText, intervalText, TALLY_NOTE } from './interval-text.ts';
import type { StudyReport, ToldFinding } from './study-report.ts';
import type { Tally } from './study-score.ts';

/** A report as lines of text for a terminal. */
export function reportText(report: StudyReport): string {
  const { present, proposed } = report;
  const parts = [...new Set([...present.byPart, ...proposed.byPart].map(({ part }) => part))].sort();
  const guns = present.byGun.map(({ gun }) => gun);
  const rows: string[][] = [
    HEAD,
    row('all', 'present', present.total),
    row('', 'proposed', proposed.total),
    ...parts.flatMap((part) => [
      row(part, 'present', present.byPart.find((one) => one.part === part)?.tally),
      row('', 'proposed', proposed.byPart.find((one) => one.part === part)?.tally),
    ]),
    ...guns.flatMap((gun) => [
      row(gun, 'present', present.byGun.find((one) => one.gun === gun)?.tally),
      row('', 'proposed', proposed.byGun.find((one) => one.gun === gun)?.tally),
    ]),
  ];
  const changed = report.changes.filter(({ kind }) => kind !== 'same');
  return [
    `${report.from} to ${report.to}, ${present.total.gunYears.toFixed(2)} gun-years`,
    '',
    ...aligned(rows),
    TALLY_NOTE,
    '',
    changed.length === 0
      ? 'Every finding would have been raised when it is raised with the present settings.'
      : `Findings that change (${changed.length} of ${report.changes.length}):`,
    ...changed.map(changeLine),
    '',
  ].join('\n');
}

const HEAD = [
  '',
  '',
  'in time',
  'late',
  'missed',
  'false',
  'unknown',
  'open',
  'false per gun-year',
  'warning, spray h',
];

function row(name: string, of: string, tally: Tally | undefined): string[] {
  if (tally === undefined) return [name, of, ...HEAD.slice(2).map(() => '-')];
  const { inTime, late, missed, falseAlarms, unknown, open, falsePerGunYear, warningSprayHours } = tally;
  const counts = [inTime, late, missed, falseAlarms, unknown, open].map(String);
  return [name, of, ...counts, intervalText(falsePerGunYear, 2), hoursText(warningSprayHours)];
}

function changeLine({ kind, sprayHoursEarlier, present, proposed }: StudyReport['changes'][number]): string {
  const finding = (present ?? proposed)!;
  const where = finding.gun ?? (finding.guns ?? []).join(' ');
  const hours =
    sprayHoursEarlier === null || kind === 'same' ? '' : ` by ${Math.abs(sprayHoursEarlier).toFixed(1)} spray h`;
  return `  ${kind}${hours}: ${where} ${finding.cause}, ${times(present, proposed)}; ${(proposed ?? present)!.because}`;
}

function times(present: ToldFinding | null, proposed: ToldFinding | null): string {
  if (present === null) return `raised ${proposed!.raised}`;
  if (proposed === null) return `raised ${present.raised}`;
  return `${present.raised} -> ${proposed.raised}`;
}

/** Columns of equal width: words to the left, figures to the right. */
function aligned(rows: readonly (readonly string[])[]): string[] {
  const widths = HEAD.map((_, column) => Math.max(...rows.map((cells) => cells[column]!.length)));
  return rows.map((cells) =>
    cells
      .map((cell, column) => (column < 2 ? cell.padEnd(widths[column]!) : cell.padStart(widths[column]!)))
      .join('  ')
      .trimEnd(),
  );
}
