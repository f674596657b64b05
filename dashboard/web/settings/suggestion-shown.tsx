import type { JSX } from 'preact';
import type { Suggestion } from '../../../analyzer/index.ts';
import { counted } from '../../../collector/contract/counted.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import { shownValue } from './settings-model.ts';
import { warningHours, withInterval } from './tally-words.ts';

/** Suggested settings with what to expect of them on months that had no say in the choice. */
export function SuggestionShown({
  suggestion,
  target,
  onTake,
}: {
  suggestion: Suggestion;
  /** False alarms per gun and year that were asked for. */
  target: number;
  onTake: (settings: Settings) => void;
}): JSX.Element {
  const { settings, fitted, unseen, folds } = suggestion;
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
        To be expected, told by {folds.length} groups of months that had no say in the choice:{' '}
        {withInterval(unseen.falsePerGunYear, 2)} false alarms per gun and year,{' '}
        {warningHours(unseen.warningSprayHours)} spray h of warning; {unseen.inTime} in time, {unseen.late} late,{' '}
        {unseen.missed} missed.
        {unseen.falsePerGunYear !== null &&
          unseen.falsePerGunYear.value > target &&
          ` That is more than the ${target} asked for: this history does not promise them.`}
      </p>
      <p class="soft">
        On the months that chose them, which flatters: {withInterval(fitted.falsePerGunYear, 2)} false alarms,{' '}
        {warningHours(fitted.warningSprayHours)} spray h.
      </p>
      <button type="button" class="button" onClick={() => onTake(settings)}>
        Propose these
      </button>
    </section>
  );
}
