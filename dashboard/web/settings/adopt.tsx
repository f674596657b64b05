import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { mayDo } from '../sign-in/me.ts';
import { asSentence } from '../words/sentence.ts';
import { withLocalTimes } from '../words/site-time.ts';

interface Props {
  readonly settings: Settings;
  readonly site: Site;
  /** Version that these were made from. */
  readonly after: number;
  /** Others adopted something since that version: first it has to be looked at. */
  readonly isOvertaken: boolean;
  readonly changes: readonly string[];
  /** What was seen on the stored history; empty when it was not tried. */
  readonly expected: string;
  readonly onAdopted: () => void;
  /** Somebody else was first. */
  readonly onOvertaken: () => void;
}

/** Makes the proposed settings those that hold, with a reason for the record. */
export function Adopt({
  settings,
  site,
  after,
  isOvertaken,
  changes,
  expected,
  onAdopted,
  onOvertaken,
}: Props): JSX.Element {
  const [why, setWhy] = useState('');
  const [fault, setFault] = useFault();
  const [busy, setBusy] = useState(false);
  const rests = busy || isOvertaken || why.trim() === '' || changes.length === 0;
  const adopt = async (): Promise<void> => {
    setBusy(true);
    setFault(null);
    try {
      await ask('/api/settings', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ settings, why, expected: expected.slice(0, 500), after }),
      });
      setWhy('');
      onAdopted();
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
      if (error.problem?.code === 'EDITED_MEANWHILE') onOvertaken();
    } finally {
      setBusy(false);
    }
  };
  return (
    <section aria-label="Adopt">
      <h2>Adopt</h2>
      <ul class="dashes">
        {changes.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {expected === '' ? (
        <p class="soft">Not tried on the stored history yet.</p>
      ) : (
        <p class="soft">Expected, {expected}.</p>
      )}
      {mayDo('engineer') ? (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            if (isOvertaken) onOvertaken();
            else if (!rests) void adopt();
          }}
        >
          <label>
            Why{' '}
            <input
              class="long"
              required
              maxLength={500}
              value={why}
              onInput={(event) => setWhy(event.currentTarget.value)}
            />
          </label>
          <button
            type="submit"
            class="button button-main"
            // Not disabled, which would drop the focus whenever the service refuses.
            aria-disabled={rests}
          >
            Adopt from now on
          </button>
        </form>
      ) : (
        <p>Adopting takes the role engineer or administrator.</p>
      )}
      {isOvertaken && (
        <p role="status">Somebody else changed the settings: say at the top of the page what becomes of yours.</p>
      )}
      <p class="soft">What was raised before stays as it is. An earlier version can be taken back in one step below.</p>
      {fault !== null && (
        <p class="fault" role="alert">
          {asSentence(withLocalTimes(fault, site))}
        </p>
      )}
    </section>
  );
}
