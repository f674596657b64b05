import type { JSX } from 'preact';
import { drop, retryAsAnother, type Waiting } from './queue.ts';

/** What was logged here and is not confirmed yet, or was refused: nothing is lost unseen. */
export function WaitingList({ entries, onRetry }: { entries: readonly Waiting[]; onRetry: () => void }): JSX.Element {
  return (
    <section class="waiting">
      <h2>Not sent yet ({entries.length})</h2>
      <ul>
        {entries.map((entry) => (
          <li key={entry.key}>
            <p>
              {entry.words}
              {entry.refused === null ? ' – kept here, goes out when the network is back.' : ''}
            </p>
            {entry.refused !== null && (
              <p class="fault" role="alert">
                {entry.refused}
              </p>
            )}
            {entry.again && (
              <button
                type="button"
                class="tap tap-quiet"
                onClick={() => {
                  retryAsAnother(entry);
                  onRetry();
                }}
              >
                It was done again: log it
              </button>
            )}
            <button type="button" class="tap tap-quiet" onClick={() => drop(entry.key)}>
              Discard
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
