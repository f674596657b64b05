import { hoursText, intervalText, TALLY_NOTE } from './interval-text.ts';
import type { Study } from './study.ts';
import type { Tally } from './study-score.ts';
import { FEWEST_MONTHS, type Suggestion } from './suggest-settings.ts';

/** Many studies as lines of text, most false alarms last. */
export function tradeOffText(studies: readonly Study[]): string {
  const sorted = [...studies].sort(
    (left, right) => (left.total.falsePerGunYear?.value ?? 0) - (right.total.falsePerGunYear?.value ?? 0),
  );
  return [
    'accepted per gun-year  smallest change  false per gun-year  warning, spray h  in time  late  missed',
    ...sorted.map(({ settings, total }) =>
      [
        String(settings.falseAlarmsPerGunYear).padStart(21),
        `${(settings.smallestChange * 100).toFixed(1)} %`.padStart(15),
        intervalText(total.falsePerGunYear, 2).padStart(18),
        hoursText(total.warningSprayHours).padStart(16),
        String(total.inTime).padStart(7),
        String(total.late).padStart(4),
        String(total.missed).padStart(6),
      ].join('  '),
    ),
    TALLY_NOTE,
    '',
  ].join('\n');
}

/** A suggestion as lines of text. */
export function suggestionText({ settings, fitted, unseen, folds }: Suggestion, targetPerGunYear: number): string {
  const told = (tally: Tally): string =>
    `${intervalText(tally.falsePerGunYear, 2)} false per gun-year, ${hoursText(tally.warningSprayHours)} spray h of warning, ${tally.inTime} in time, ${tally.late} late, ${tally.missed} missed`;
  const isKept = (fitted.falsePerGunYear?.value ?? 0) <= targetPerGunYear;
  const kept = (unseen.falsePerGunYear?.value ?? 0) <= targetPerGunYear;
  return [
    `suggested for at most ${targetPerGunYear} false alarms per gun and year:`,
    `  falseAlarmsPerGunYear: ${settings.falseAlarmsPerGunYear}`,
    `  smallestChange: ${settings.smallestChange}`,
    ...(isKept ? [] : ['  none of those tried keeps to that: these have the fewest false alarms']),
    `to be expected, from ${folds.length} groups of months that had no say in the choice:`,
    `  ${told(unseen)}`,
    kept ? '  which keeps the target' : '  which does NOT keep the target: expect more false alarms than asked for',
    'on the months that chose them, which flatters:',
    `  ${told(fitted)}`,
    TALLY_NOTE,
    ...(folds.length <= FEWEST_MONTHS ? ['few months: take the interval, not the figure'] : []),
    '',
  ].join('\n');
}
