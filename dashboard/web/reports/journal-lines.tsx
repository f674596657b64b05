import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import type { JournalLine } from '../../server/shop/journal-model.ts';
import { now } from '../link/live.ts';
import { causeName } from '../words/names.ts';
import { clock, day, withLocalTimes } from '../words/site-time.ts';

interface Props {
  readonly lines: readonly JournalLine[];
  readonly site: Site;
  /** Takes a log entry back; absent where that is not offered. */
  readonly onUndo?: (entry: number) => void;
}

/** What was done, with who and when; what was taken back stays, struck through, with by whom and why. */
export function JournalLines({ lines, site, onUndo }: Props): JSX.Element {
  const nameOf = (gun: string | null): string =>
    gun === null ? '' : `${site.guns.find(({ id }) => id === gun)?.name ?? gun}: `;
  return (
    <ol class="ledger">
      {lines.map((line) => (
        <li
          key={`${line.kind} ${line.time} ${line.subject} ${line.what} ${line.entry}`}
          class={line.takenBack ? 'undone' : ''}
        >
          <time dateTime={line.time}>
            {day(Date.parse(line.time), site, now.value)}, {clock(Date.parse(line.time), site)}
          </time>
          <span>
            {nameOf(line.gun)}
            {causeName(line.subject).toLowerCase()} {withLocalTimes(line.what, site)}
            {line.note !== '' && <em> · {line.note}</em>}
            <small> · {line.who}</small>
            {line.takenBack && <strong> · {withLocalTimes(line.takenBack, site)}</strong>}
          </span>
          {onUndo && line.kind === 'work' && line.entry !== null && !line.takenBack && (
            <button type="button" class="button button-small no-print" onClick={() => onUndo(line.entry ?? 0)}>
              Undo
              <span class="unseen">
                {' '}
                {nameOf(line.gun)}
                {causeName(line.subject)} {line.what}
              </span>
            </button>
          )}
        </li>
      ))}
    </ol>
  );
}
