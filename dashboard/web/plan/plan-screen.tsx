import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { DueShown, RuleRow, StatedCalendar } from '../../server/upkeep/upkeep-model.ts';
import { Frame } from '../frame/frame.tsx';
import { wall } from '../link/live.ts';
import { Folded } from '../shop/folded.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { WithoutRuns } from '../shop/without-runs.tsx';
import { CalendarForm } from './calendar-form.tsx';
import { DueTable } from './due-table.tsx';
import { IntervalTable } from './interval-table.tsx';

/** The preventive plan: what is due, as a calendar feed too; intervals and the shop's calendar. */
export function PlanScreen(): JSX.Element {
  const [days, setDays] = useState(60);
  const due = useLoaded<DueShown[]>(`/api/due?days=${days}`);
  const rules = useLoaded<RuleRow[]>('/api/intervals');
  const calendar = useLoaded<StatedCalendar>('/api/calendar');
  const site = wall.value?.site ?? null;
  const feed = `${location.origin}/api/plan.ics`;
  return (
    <Frame title="Plan" page="plan" wide>
      <p class="soft">
        Whichever of days, spray hours and kilograms comes first. What the air shows brings work forward; it never
        pushes a safety-relevant check back.
      </p>
      <Waiting fault={due.fault} empty={due.data === null || site === null} />
      <p class="no-print job-sheet-do">
        <label class="inline">
          Look ahead{' '}
          <select value={String(days)} onChange={(event) => setDays(Number(event.currentTarget.value))}>
            {[14, 30, 60, 92, 182, 365].map((n) => (
              <option key={n} value={n}>
                {n} days
              </option>
            ))}
          </select>
        </label>
        <button type="button" class="button" onClick={() => window.print()}>
          Print
        </button>
        <a class="button" href="/api/plan.ics">
          Calendar file
        </a>
      </p>
      {site && <WithoutRuns what="What is due is reckoned" style={site} />}
      {site && due.data?.length === 0 && <p>Nothing is due in the next {days} days.</p>}
      {site && due.data && <DueTable caption={`Due within ${days} days`} due={due.data} style={site} named />}
      <p class="no-print">
        To subscribe, give a calendar program the address <code>{feed}</code>. It holds jobs at their proposed stop and
        what is due later. Where people sign in, add <code>?token=</code> and a token with the role wall.
      </p>
      <Folded title="Intervals">
        <Waiting fault={rules.fault} empty={rules.data === null} />
        {rules.data && (
          <IntervalTable
            units={site?.units ?? 'metric'}
            rows={rules.data}
            guns={wall.value?.guns ?? []}
            onSet={() => void rules.reload().then(due.reload)}
          />
        )}
      </Folded>
      <Folded title="Shifts, holidays, planned stops">
        <Waiting fault={calendar.fault} empty={calendar.data === null} />
        {calendar.data && (
          <CalendarForm
            key={calendar.data.version}
            stated={calendar.data}
            timezone={site?.timezone ?? ''}
            onSet={() => void calendar.reload().then(due.reload)}
          />
        )}
      </Folded>
    </Frame>
  );
}
