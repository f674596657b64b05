import type { JSX } from 'preact';
import type { Status } from '../../server/endpoints/status.ts';

/** Readings that the disk has lost, and what to do about it. */
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
        Readings are damaged on the disk. They are missing from what is found and shown; all else goes on. A backup of
        before has them.
      </p>
      <div class="table-wrap">
        <table class="rows stacked">
          <caption>Damaged readings</caption>
          <thead>
            <tr>
              <th scope="col">Station</th>
              <th scope="col">From</th>
              <th scope="col">To</th>
              <th scope="col">Found</th>
            </tr>
          </thead>
          <tbody>
            {damaged.map(({ station, from, to, why }) => (
              <tr key={`${station} ${why}`}>
                <th scope="row">{station ?? 'not known any more'}</th>
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
