import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import type { JournalLine } from '../../server/shop/journal-model.ts';
import { useFault } from '../link/use-fault.ts';
import { faultOf, send } from '../shop/send.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { JournalLines } from './journal-lines.tsx';

const KINDS: Readonly<Record<string, string>> = {
  '': 'Everything',
  work: 'Work on guns',
  finding: 'Findings',
  job: 'Jobs',
  shelf: 'Shelf',
  figures: 'Stated figures',
  settings: 'Settings',
  word: 'Words on baselines, findings and runs',
  correction: 'Corrections',
};

/** All that was done and shown; work can be taken back here, and stays on record. */
export function JournalView({ site }: { site: Site }): JSX.Element {
  const [kind, setKind] = useState('');
  const [limit, setLimit] = useState(200);
  const [undoing, setUndoing] = useState<number | null>(null);
  const [why, setWhy] = useState('');
  const [refused, setRefused] = useFault();
  const { data, fault, reload } = useLoaded<JournalLine[]>(`/api/journal?limit=${limit}`);
  const undo = async (): Promise<void> => {
    setRefused(await faultOf(() => send('POST', `/api/log/${undoing}/correct`, { why })));
    setUndoing(null);
    setWhy('');
    await reload();
  };
  return (
    <>
      <div class="fields no-print">
        <label class="field">
          <span>Shown</span>
          <select value={kind} onChange={({ currentTarget }) => setKind(currentTarget.value)}>
            {Object.entries(KINDS).map(([id, words]) => (
              <option key={id} value={id}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </div>
      <p class="no-print row">
        <button type="button" class="button" onClick={() => print()}>
          Print
        </button>
        <a class="button" href="/api/journal.csv?limit=50000" download>
          Save as CSV
        </a>
      </p>
      <p class="fault" role="alert">
        {refused}
      </p>
      {undoing !== null && (
        <form
          class="shop-form no-print"
          onSubmit={(event) => {
            event.preventDefault();
            void undo();
          }}
        >
          <p>
            Entry {undoing} will count no more: counters, findings and shelf go back to how they were without it. It
            stays in the journal.
          </p>
          <label class="field">
            <span>Why</span>
            <input value={why} maxLength={500} onInput={({ currentTarget }) => setWhy(currentTarget.value)} />
          </label>
          <p class="row">
            <button type="submit" class="button">
              Take entry {undoing} back
            </button>
            <button type="button" class="button" onClick={() => setUndoing(null)}>
              Leave it
            </button>
          </p>
        </form>
      )}
      <Waiting fault={fault} empty={data === null} />
      {data && data.length === 0 && <p>Nothing has happened yet.</p>}
      {data && (
        <JournalLines
          lines={data.filter((line) => kind === '' || line.kind === kind)}
          site={site}
          onUndo={setUndoing}
        />
      )}
      {data && data.length >= limit && (
        <button type="button" class="button no-print" onClick={() => setLimit(limit * 4)}>
          Show older ones
        </button>
      )}
    </>
  );
}
