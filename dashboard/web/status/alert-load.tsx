import type { JSX } from 'preact';
import type { AlertLoadShown } from '../../server/upkeep/upkeep-model.ts';
import { wall } from '../link/live.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { causeName } from '../words/names.ts';
import { day } from '../words/site-time.ts';

/** How much our alerts ask of people: by gun and week, and which stand too long or come too often (ISA-18.2). */
export function AlertLoad(): JSX.Element {
  const { data, fault } = useLoaded<AlertLoadShown>('/api/alerts/load?weeks=6');
  const site = wall.value?.site ?? null;
  const guns = wall.value?.guns ?? [];
  const name = (gun: string | null): string => guns.find(({ id }) => id === gun)?.name ?? gun ?? 'several guns';
  const common = data?.weeks.some((week) => (week.perGun[''] ?? 0) > 0) ?? false;
  return (
    <section>
      <h2>Alerts</h2>
      <Waiting fault={fault} empty={data === null || site === null} />
      {data && site && (
        <>
          <p>
            {data.standing} standing, {data.unacknowledged} of them not acknowledged; {data.shelved} on the shelf,{' '}
            {data.suppressed} suppressed (gun out of service). {data.perGunWeek.toFixed(2)} a gun and week.
          </p>
          <div class="table-wrap">
            <table class="rows stacked">
              <caption>Alerts raised by gun and week of seven days, the newest first</caption>
              <thead>
                <tr>
                  <th scope="col">Gun</th>
                  {data.weeks.map(({ from }) => (
                    <th scope="col" key={from} class="number">
                      from {day(from, site)}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {[...guns.map(({ id }) => id), ...(common ? [''] : [])].map((gun) => (
                  <tr key={gun}>
                    <th scope="row">{gun === '' ? 'Several guns' : name(gun)}</th>
                    {data.weeks.map(({ from, perGun }) => (
                      <td key={from} class="number">
                        {perGun[gun] ?? 0}
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          {data.stale.length > 0 && (
            <p>
              <strong>{data.stale.length} stand for two weeks and more</strong> and are not planned: see{' '}
              <a href="/jobs">Jobs</a>.
            </p>
          )}
          {data.chattering.map(({ gun, cause, times }) => (
            <p key={`${gun} ${cause}`}>
              <strong>Chatters:</strong> {name(gun)}, {causeName(cause).toLowerCase()}, {times} times within a week.
            </p>
          ))}
        </>
      )}
    </section>
  );
}
