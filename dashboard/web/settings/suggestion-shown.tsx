import type { JSX } from 'preact';
import type { Suggestion } from '../../../analyzer/index.ts';
import { counted } from '../../../collector/contract/counted.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import { shownValue } from './settings-model.ts';
import { warningHours, withInterval } from './tally-words.ts';
import { keyOf } from './trade-off-table.tsx';

/** Suggested settings with what to expect of them on months that had no say in the choice. */
export function SuggestionShown({
  suggestion,
  target,
  tried,
  onTake,
}: {
  suggestion: Suggestion;
  /** False alarms per gun and year that were asked for. */
  target: number;
  /** Settings that it was chosen from. */
  tried: number;
  onTake: (settings: Settings) => void;
}): JSX.Element {
  const { settings, fitted, unseen, folds } = suggestion;
  const alike = folds.filter((fold) => keyOf(fold) === keyOf(suggestion)).length;
  const isKept = (fitted.falsePerGunYear?.value ?? 0) <= target;
  return (
    <section class="suggestion" aria-label="Suggestion">
      <h3>Suggested</h3>
      <p>
        <strong>
          {counted(settings.falseAlarmsPerGunYear, 'false alarm')} accepted per gun and year, smallest change{' '}
          {shownValue(settings.smallestChange, 100)} %
        </strong>
      </p>
      <p>
        {isKept
          ? `Of ${tried} settings tried, these give the most warning with at most ${counted(target, 'false alarm')} per gun and year on the months tried.`
          : `None of the ${tried} settings tried keeps to ${counted(target, 'false alarm')} per gun and year on the months tried: these have the fewest.`}
      </p>
      <p>
        To be expected, told by {folds.length} groups of months that had no say in the choice:{' '}
        {withInterval(unseen.falsePerGunYear, 2)} false alarms per gun and year,{' '}
        {warningHours(unseen.warningSprayHours)} spray h of warning; {unseen.inTime} in time, {unseen.late} late,{' '}
        {unseen.missed} missed.
        {unseen.falsePerGunYear !== null &&
          unseen.falsePerGunYear.value > target &&
          ` That is more than the ${target} asked for: this history does not promise them.`}
      </p>
      <p class="soft">
        Chosen by the other months {alike === folds.length ? 'each time' : `${alike} times of ${folds.length}`}. On the
        months that chose them, which flatters: {withInterval(fitted.falsePerGunYear, 2)} false alarms,{' '}
        {warningHours(fitted.warningSprayHours)} spray h.
      </p>
      <button type="button" class="button" onClick={() => onTake(settings)}>
        Propose these
      </button>
    </section>
  );
}
