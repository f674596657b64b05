import type { JSX, Ref } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import { dayAndClock } from '../words/site-time.ts';
import { differences } from './settings-model.ts';
import type { Version } from './versions.tsx';

interface Props {
  /** The version that the typed values were made from. */
  readonly base: Version;
  /** Those that were adopted since, newest first. */
  readonly since: readonly Version[];
  readonly site: Site;
  /** Where whoever pressed Adopt and was refused goes on. */
  readonly heading: Ref<HTMLHeadingElement>;
  readonly onMerge: () => void;
  readonly onMine: () => void;
  readonly onTheirs: () => void;
}

/** What others adopted while values were being typed here, before any of it is overwritten. */
export function Meanwhile({ base, since, site, heading, onMerge, onMine, onTheirs }: Props): JSX.Element {
  const newest = since[0]!;
  const theirs = differences(base.settings, newest.settings, site);
  return (
    <section class="meanwhile" role="alert" aria-label="Adopted meanwhile">
      <h2 tabIndex={-1} ref={heading}>
        Somebody else changed the settings
      </h2>
      {since.map(({ version, who, recordedAt, why }) => (
        <p key={version}>
          <strong>Version {version}</strong>, by {who}, {dayAndClock(Date.parse(recordedAt), site)}:{' '}
          {why || 'no reason given'}
        </p>
      ))}
      <p>What holds now is not what your values were made from. Changed since:</p>
      <ul class="dashes">
        {theirs.length === 0 && <li>nothing: it was taken back again</li>}
        {theirs.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <p class="soft">Your values still stand in the form, and nothing of them was adopted.</p>
      <p class="look-row">
        <button type="button" class="button" onClick={onMerge}>
          Put my changes on top of theirs
        </button>
        <button type="button" class="button" onClick={onMine}>
          Keep all of mine
        </button>
        <button type="button" class="button" onClick={onTheirs}>
          Drop mine
        </button>
      </p>
    </section>
  );
}
