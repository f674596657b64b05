import type { JSX } from 'preact';
import type { StudyNow } from './follow-study.ts';

/** What a bar stands for, and whether its share is worth a figure. */
const STAGES = {
  sending: { label: 'Sending the file', counts: true },
  loading: { label: 'Reading the stored runs', counts: false },
  trying: { label: 'How far the study has come', counts: true },
} as const;

/** How far a study has come: a bundle is sent first, then the stored runs are read, then settings are tried on them. */
export function StudyProgressBar({ now, onCancel }: { now: StudyNow; onCancel: () => void }): JSX.Element {
  const { label, counts } = STAGES[now.stage];
  return (
    <p class="look-row">
      <progress max={1} value={now.share} aria-label={label} />
      {now.stage !== 'trying' && `${label}…`}
      {counts && ` ${Math.round(now.share * 100)} %`}
      <button type="button" class="button" onClick={onCancel}>
        Cancel
      </button>
    </p>
  );
}
