import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { LoopJob } from '../../../analyzer/index.ts';
import { now } from '../link/live.ts';
import { useFault } from '../link/use-fault.ts';
import { faultOf, send } from '../shop/send.ts';
import { TimeField } from '../time-field.tsx';
import { fromLocalField, localFieldValue } from '../words/local-field.ts';
import type { TimeStyle } from '../words/site-time.ts';

interface Props {
  readonly job: LoopJob;
  readonly style: TimeStyle;
  /** Told when something was done, or somebody else was first. */
  readonly onDone: () => void;
}

const DAY_MS = 86_400_000;

/** What a person can do with a job: acknowledge, plan, shelve with an end and a reason, say done, undo. */
export function JobDeeds({ job, style, onDone }: Props): JSX.Element {
  const [open, setOpen] = useState<'plan' | 'shelve' | null>(null);
  const [fault, setFault] = useFault();
  const [busy, setBusy] = useState(false);
  const act = async (deed: Record<string, unknown>): Promise<void> => {
    setBusy(true);
    const told = await faultOf(() =>
      send('POST', `/api/jobs/${encodeURIComponent(job.id)}/deeds`, { ...deed, version: job.version }),
    );
    setBusy(false);
    setFault(told);
    if (told === null) setOpen(null);
    onDone();
  };
  const ended = job.state === 'proven' || job.state === 'gone';
  const toDo = job.state === 'open' || job.state === 'planned';
  const unseen = job.alert === 'unacknowledged' || job.alert === 'returned-unacknowledged';
  return (
    <div class="deeds no-print">
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <p class="deeds-row">
        {unseen && (
          <button type="button" class="button" disabled={busy} onClick={() => void act({ deed: 'acknowledge' })}>
            Acknowledge
          </button>
        )}
        {toDo && (
          <button
            type="button"
            class="button"
            aria-expanded={open === 'plan'}
            onClick={() => setOpen(open === 'plan' ? null : 'plan')}
          >
            Plan…
          </button>
        )}
        {job.planned !== null && toDo && (
          <button type="button" class="button" disabled={busy} onClick={() => void act({ deed: 'unplan' })}>
            Take plan back
          </button>
        )}
        {!ended && job.shelved === null && (
          <button
            type="button"
            class="button"
            aria-expanded={open === 'shelve'}
            onClick={() => setOpen(open === 'shelve' ? null : 'shelve')}
          >
            Shelve…
          </button>
        )}
        {job.shelved !== null && !ended && (
          <button type="button" class="button" disabled={busy} onClick={() => void act({ deed: 'unshelve' })}>
            Off the shelf
          </button>
        )}
        {toDo && job.part === null && (
          <button type="button" class="button" disabled={busy} onClick={() => void act({ deed: 'done', note: '' })}>
            Say it is done
          </button>
        )}
        {job.version > 0 && (
          <button type="button" class="button" disabled={busy} onClick={() => void act({ deed: 'undo' })}>
            Undo the last step
          </button>
        )}
      </p>
      {open === 'plan' && (
        <When
          label="Planned for"
          action="Plan it"
          first={job.stop?.at ?? (now.value ?? 0) + DAY_MS}
          style={style}
          note={{ label: 'Note, if any', needed: false }}
          onGiven={(ms, note) => void act({ deed: 'plan', for: iso(ms), note })}
        />
      )}
      {open === 'shelve' && (
        <When
          label="Shelved until"
          action="Shelve it"
          first={(now.value ?? 0) + (job.safetyRelevant || job.category === 'failure' ? 0.9 : 3) * DAY_MS}
          style={style}
          note={{ label: 'Reason', needed: true }}
          onGiven={(ms, reason) => void act({ deed: 'shelve', until: iso(ms), reason })}
        />
      )}
    </div>
  );
}

const iso = (ms: number): string => new Date(ms).toISOString();

/** A time of the plant and a few words. */
function When(props: {
  readonly label: string;
  readonly action: string;
  readonly first: number;
  readonly style: TimeStyle;
  readonly note: { readonly label: string; readonly needed: boolean };
  readonly onGiven: (ms: number, note: string) => void;
}): JSX.Element {
  const { label, action, first, style, note, onGiven } = props;
  const [local, setLocal] = useState(localFieldValue(first, style.timezone));
  const [words, setWords] = useState('');
  const ms = fromLocalField(local, style.timezone);
  const ready = ms !== null && (!note.needed || words.trim() !== '');
  return (
    <form
      class="deeds-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (ready) onGiven(ms, words.trim());
      }}
    >
      <TimeField class="field" label={`${label} (plant’s time)`} value={local} style={style} onValue={setLocal} />
      <label class="field">
        <span>{note.label}</span>
        <input type="text" maxLength={300} value={words} onInput={(event) => setWords(event.currentTarget.value)} />
      </label>
      <button type="submit" class="button" disabled={!ready}>
        {action}
      </button>
    </form>
  );
}
