import type { JSX } from 'preact';
import type { Recorded } from '../../server/endpoints/log.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { now } from '../link/live.ts';
import { clock, day } from '../words/site-time.ts';
import { inWords } from './draft.ts';

/** The newest entries of the log. */
export function LatestEntries({ entries, site }: { entries: readonly Recorded[]; site: Site }): JSX.Element {
  const nameOf = (gun: string): string => site.guns.find(({ id }) => id === gun)?.name ?? gun;
  return (
    <section class="latest">
      <h2>Latest entries</h2>
      {entries.length === 0 && <p>Nothing has been logged yet.</p>}
      <ol>
        {entries.map((entry) => (
          <li key={entry.id}>
            <time dateTime={entry.time}>
              {day(Date.parse(entry.time), site, now.value)}, {clock(Date.parse(entry.time), site)}
            </time>
            <span>
              {inWords(entry, nameOf(entry.gun))}
              {entry.measured !== null && ` (${entry.measured.value} ${entry.measured.unit})`}
              {entry.who !== '' && entry.who !== 'local' && <span class="soft"> · {entry.who}</span>}
              {entry.note !== '' && <em> · {entry.note}</em>}
            </span>
          </li>
        ))}
      </ol>
      <p class="soft">
        An entry is never changed or deleted. If one is wrong, take it back or put it right in the{' '}
        <a href="/reports/journal">journal</a>: the original stays on record.
      </p>
    </section>
  );
}
