import type { JSX } from 'preact';
import type { StudyNow } from './follow-study.ts';

/** How far a study has come: first the stored runs are read, then settings are tried on them. */
export function StudyProgressBar({ now, onCancel }: { now: StudyNow; onCancel: () => void }): JSX.Element {
  const isLoading = now.stage === 'loading';
  return (
    <p class="look-row">
      {isLoading ? (
        <>
          <progress max={1} value={now.share} aria-label="Reading the stored runs" />
          Reading the stored runs…
        </>
      ) : (
        <>
          <progress max={1} value={now.share} aria-label="How far the study has come" />
          {Math.round(now.share * 100)} %
        </>
      )}
      <button type="button" class="button" onClick={onCancel}>
        Cancel
      </button>
    </p>
  );
}
