import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { NO_CONNECTION } from '../api.ts';
import { Field } from '../shop/field.tsx';
import { SteadyButton } from './steady-button.tsx';

/** Source: own choice, a bundle of a year of twenty guns is written in some seconds. */
const PATIENCE_MS = 120_000;

/** Saves the comparison on the screen as a bundle that another machine reproduces. */
export function SaveStudy({ id }: { id: string }): JSX.Element {
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState<string | null>(null);
  const save = async (): Promise<void> => {
    setBusy(true);
    setFault(await saveBundle(id));
    setBusy(false);
  };
  return (
    <div class="no-print save-study">
      <SteadyButton rests={busy} onPress={() => void save()}>
        {busy ? 'Saving…' : 'Save this study'}
      </SteadyButton>
      <p class="soft">
        One file with settings, runs, log and result: <code>driftline replay --bundle</code> and “Open a study” give the
        same answer to the last byte, on any machine with the same driftline and Node.
      </p>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
    </div>
  );
}

/** Hands a study to the browser as a download; the sentence to show where that was refused. */
async function saveBundle(id: string): Promise<string | null> {
  const answer = await fetch(`/api/studies/${id}/bundle`, { signal: AbortSignal.timeout(PATIENCE_MS) }).catch(
    () => null,
  );
  if (answer === null) return NO_CONNECTION;
  if (!answer.ok) {
    const { title, detail } = (await answer.json()) as { title: string; detail: string };
    return `${title}: ${detail}`;
  }
  const bytes = await answer.blob().catch(() => null);
  if (bytes === null) return 'The connection broke before the study was whole.';
  const link = document.createElement('a');
  link.download = /filename="([^"]+)"/.exec(answer.headers.get('Content-Disposition') ?? '')?.[1] ?? `study-${id}.gz`;
  link.href = URL.createObjectURL(bytes);
  link.click();
  URL.revokeObjectURL(link.href);
  return null;
}

/** Takes a bundle that was saved here or elsewhere. */
export function OpenStudy({ busy, onOpen }: { busy: boolean; onOpen: (file: File) => void }): JSX.Element {
  return (
    <div class="no-print">
      <Field
        label={
          <>
            Open a study (a file that was saved here, or by <code>driftline replay --save</code>)
          </>
        }
      >
        <input
          type="file"
          aria-disabled={busy}
          onChange={({ currentTarget }) => {
            const file = currentTarget.files?.[0];
            if (file !== undefined && !busy) onOpen(file);
            // The same file can be chosen again.
            currentTarget.value = '';
          }}
        />
      </Field>
    </div>
  );
}
