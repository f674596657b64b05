import type { JSX } from 'preact';
import { counted } from '../../../collector/contract/counted.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { whole } from '../words/figures.ts';
import { dayAndClock } from '../words/site-time.ts';
import type { Import } from './import-types.ts';

interface Props {
  readonly imports: readonly Import[];
  readonly site: Site;
  readonly onOpen: (one: Import) => void;
  readonly onForget: (one: Import) => void;
}

/** Files that were given to the service, newest first. */
export function FileList({ imports, site, onOpen, onForget }: Props): JSX.Element | null {
  if (imports.length === 0) return null;
  return (
    <section aria-label="Files">
      <h2>Files</h2>
      <ul class="ledger">
        {imports.map((one) => (
          <li key={one.id}>
            <time dateTime={new Date(one.begunAt).toISOString()}>{dayAndClock(one.begunAt, site)}</time>
            <span>
              <strong>{one.file}</strong>, by {one.who}: {stageWords(one)}
            </span>
            {one.stage !== 'arriving' && (
              <button type="button" class="button button-small no-print" onClick={() => onOpen(one)}>
                Open<span class="unseen"> {one.file}</span>
              </button>
            )}
            {one.stage !== 'running' && (
              <button type="button" class="button button-small no-print" onClick={() => onForget(one)}>
                Forget<span class="unseen"> {one.file}</span>
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function stageWords({ stage, received, bytes, outcome, fault }: Import): string {
  switch (stage) {
    case 'arriving':
      return `${Math.floor((100 * received) / bytes)} % of it are here. Choose the same file again, and the rest follows.`;
    case 'ready':
      return outcome === null ? 'is here, not imported yet' : 'dry run done, not imported yet';
    case 'running':
      return 'is being read';
    case 'stopped':
      return 'cancelled';
    case 'refused':
      return `refused: ${fault}`;
    case 'done':
      return outcome?.importedBefore == null
        ? `${counted(whole(outcome?.readings ?? 0), 'reading')} imported`
        : 'was imported before';
  }
}
