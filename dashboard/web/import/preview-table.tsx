import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import { channelName } from '../words/names.ts';
import { day, secondsClock } from '../words/site-time.ts';
import type { Preview, Refusal } from './import-types.ts';
import { readingWords } from './reading-words.ts';

/** First rows as the file has them, and what each becomes. */
export function PreviewTable({ preview, site }: { preview: Preview; site: Site }): JSX.Element {
  const nameOf = (id: string): string => [...site.guns, ...site.air].find((one) => one.id === id)?.name ?? id;
  return (
    <div class="table-room">
      <table class="figures stacked import-preview">
        <caption>First rows, and what they become</caption>
        <thead>
          <tr>
            <th scope="col">Line</th>
            <th scope="col">As it stands in the file</th>
            <th scope="col">Becomes</th>
            <th scope="col">Refused</th>
          </tr>
        </thead>
        <tbody>
          {preview.rows.map(({ line, cells, readings, refusals, shown }) => {
            const first = readings[0];
            return (
              <tr key={line}>
                <th scope="row">{line}</th>
                <td class="import-raw">{cells.join(' | ')}</td>
                <td>
                  {first && (
                    <>
                      {day(first.time, site, Number.POSITIVE_INFINITY)}, {secondsClock(first.time, site)}
                      {shown !== 'once' && <small>{UNSURE[shown]}</small>}
                      {[...new Set(readings.map(({ station }) => station))].map((station) => (
                        <small key={station}>
                          {nameOf(station)}:{' '}
                          {readings
                            .filter((one) => one.station === station)
                            .map(
                              (one) =>
                                `${channelName(one.channel)} ${readingWords(one.channel, one.value, site.units)}`,
                            )
                            .join(', ')}
                        </small>
                      ))}
                    </>
                  )}
                  {!first && 'Nothing'}
                </td>
                <td>
                  {refusals.map((one) => (
                    <span class="short" key={`${one.says} ${one.channel}`}>
                      {refusalWords(one)}
                    </span>
                  ))}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {preview.rows.length === 0 && <p class="soft">There is no row below the headings.</p>}
    </div>
  );
}

/** Why a local time may be an hour off. */
const UNSURE = {
  never: 'The clock leaves this time out in spring: taken as if it had run on.',
  twice: 'The clock shows this time twice in autumn: taken as the first until the times go back.',
} as const;

/** What was refused, without its line. */
export function refusalWords({ says, channel }: Refusal): string {
  return channel === null ? says : `${channelName(channel)}: ${says}`;
}
