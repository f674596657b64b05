import type { JSX } from 'preact';
import { counted } from '../../../collector/contract/counted.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { whole } from '../words/figures.ts';
import { dayAndClock } from '../words/site-time.ts';
import type { Import } from './import-types.ts';
import { refusalWords } from './preview-table.tsx';

/** What an import or a dry run came to: readings by station, and what could not be used, by line. */
export function Outcome({ now, site }: { now: Import; site: Site }): JSX.Element | null {
  const { outcome, task } = now;
  if (outcome === null) return null;
  const { importedBefore, reports, refusals, stations, readings, already, ahead, localHours, missing, thousands } =
    outcome;
  if (importedBefore !== null)
    return <p class="lead">The same bytes were imported on {dayAndClock(importedBefore, site)}; nothing was to do.</p>;
  const refused = reports.flatMap(({ unusable }) => unusable).reduce((sum, { count }) => sum + count, 0);
  const rows = reports.reduce((sum, report) => sum + report.rows, 0);
  const nameOf = (id: string): string => [...site.guns, ...site.air].find((one) => one.id === id)?.name ?? id;
  return (
    <>
      <p class="lead">
        {task === 'dry-run' ? 'Dry run, nothing was stored: ' : 'Imported: '}
        {counted(whole(readings), 'reading')} of {counted(whole(rows), 'row')}
        {refused === 0
          ? '; nothing was refused.'
          : `; ${counted(whole(refused), 'row or cell was', 'rows or cells were')} refused.`}
        {already > 0 &&
          ` ${counted(whole(already), 'of these readings was', 'of these readings were')} in the store already.`}
      </p>
      <ul class="dashes">
        {stations.map(({ station, rows: count, from, to }) => (
          <li key={station}>
            {nameOf(station)}: {counted(whole(count), 'row')}, {dayAndClock(from, site)} to {dayAndClock(to, site)}
          </li>
        ))}
        {localHours.map((text) => (
          <li key={text}>
            <strong>{text}.</strong>
          </li>
        ))}
        {missing !== null && <li>{missing}.</li>}
        {thousands !== null && (
          <li>
            <strong>{thousands}.</strong>
          </li>
        )}
        {ahead > 0 && (
          <li>
            {counted(whole(ahead), 'reading was not taken: its time has', 'readings were not taken: their time has')}{' '}
            not come by our clock.
          </li>
        )}
        {reports.map(({ file, repeated, conflicting, ignoredColumns }) => (
          <>
            {repeated > 0 && (
              <li key={`${file} repeated`}>
                {counted(whole(repeated), 'reading')} came twice, and {repeated === 1 ? 'counts' : 'count'} once.
              </li>
            )}
            {conflicting > 0 && (
              <li key={`${file} conflict`}>
                {counted(whole(conflicting), 'reading contradicts', 'readings contradict')} an earlier one, which stays.
              </li>
            )}
            {ignoredColumns.length > 0 && <li key={`${file} columns`}>Not taken: {ignoredColumns.join(', ')}.</li>}
          </>
        ))}
      </ul>
      {refusals.length > 0 && (
        <details>
          <summary>
            Refused, {refusals.length < refused ? `the first ${refusals.length}` : `all ${refused}`}, by line
          </summary>
          <ul class="dashes">
            {refusals.map((one, index) => (
              <li key={`${one.line} ${index}`}>
                Line {one.line}: {refusalWords(one)}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}
