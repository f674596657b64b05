import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { StatedCalendar } from '../../server/upkeep/upkeep-model.ts';
import { useFault } from '../link/use-fault.ts';
import { faultOf, send } from '../shop/send.ts';
import { mayDo } from '../sign-in/me.ts';
import { type CalendarLines, linesOf, readLines } from './calendar-lines.ts';

interface Props {
  readonly stated: StatedCalendar;
  readonly timezone: string;
  readonly onSet: () => void;
}

const FIELDS: readonly (readonly [keyof CalendarLines, string, string])[] = [
  ['shifts', 'Shifts, one a line', 'Day Mo-Fr 06:00-14:00'],
  ['holidays', 'Holidays, one a line', '2026-12-25 Christmas'],
  ['stops', 'Planned stops, one a line', '2026-12-24T12:00 2027-01-07T06:00 Winter stop'],
  ['colourChanges', 'Colour changes that come every week, one a line', 'Mo-Fr 10:00'],
];

/** The shop's calendar as lines of text: few and long-lived, and quicker to write than to click. */
export function CalendarForm({ stated, timezone, onSet }: Props): JSX.Element {
  const [lines, setLines] = useState<CalendarLines>(linesOf(stated.value));
  const [fault, setFault] = useFault();
  const [kept, setKept] = useState(false);
  const keep = async (): Promise<void> => {
    const read = readLines(lines);
    if (!read.ok) {
      setFault(read.fault);
      return;
    }
    const told = await faultOf(() =>
      send('PUT', '/api/calendar', { version: stated.version, calendar: read.calendar }),
    );
    setFault(told);
    setKept(told === null);
    if (told === null) onSet();
  };
  return (
    <form
      class="no-print calendar-form"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <p class="soft">
        All in the plant’s own time{timezone !== '' && ` (${timezone})`}.{' '}
        {stated.version === 0 ? 'Until you set it: one shift, Monday to Friday.' : `Set by ${stated.who}.`}
      </p>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {kept && <p role="status">Kept.</p>}
      <div class="calendar-fields">
        {FIELDS.map(([key, label, example]) => (
          <label key={key} class="field">
            <span>{label}</span>
            <textarea
              rows={4}
              placeholder={example}
              value={lines[key]}
              readOnly={!mayDo('engineer')}
              onInput={(event) => {
                setLines({ ...lines, [key]: event.currentTarget.value });
                setKept(false);
              }}
            />
          </label>
        ))}
      </div>
      {mayDo('engineer') && (
        <p class="job-sheet-do">
          <button type="submit" class="button">
            Keep the calendar
          </button>
        </p>
      )}
    </form>
  );
}
