import type { JSX } from 'preact';
import type { Status } from '../../server/endpoints/status.ts';

/** Readings and spray runs that the disk has lost, and what to do about it. */
export function Damaged({
  damaged,
  moment,
}: {
  damaged: Status['damaged'];
  moment: (iso: string) => string;
}): JSX.Element {
  return (
    <>
      <p class="fault" role="alert">
        What is listed here is damaged on the disk. It is missing from what is found and shown; all else goes on. Spray
        runs are found anew at the next start where their readings are left; readings are in a backup of before. What
        came again, or is given up, is settled with <code>driftline damage settle</code>.
      </p>
      <div class="table-wrap">
        <table class="rows stacked">
          <caption>Damaged on the disk</caption>
          <thead>
            <tr>
              <th scope="col">Station</th>
              <th scope="col">What</th>
              <th scope="col">From</th>
              <th scope="col">To</th>
              <th scope="col">Found</th>
            </tr>
          </thead>
          <tbody>
            {damaged.map(({ kind, station, from, to, why }) => (
              <tr key={`${station} ${why}`}>
                <th scope="row">{station ?? (kind === 'refusals' ? '–' : 'not known any more')}</th>
                <td>{kind}</td>
                <td>{station === null ? '–' : moment(from)}</td>
                <td>{station === null ? '–' : moment(to)}</td>
                <td>{why}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
