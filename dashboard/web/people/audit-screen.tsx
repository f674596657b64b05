import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { AuditShown } from '../../server/endpoints/audit.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { wall } from '../link/live.ts';
import { auditSentence } from './audit-words.ts';
import { ListState } from './list-state.tsx';
import { useLoaded } from './loaded.ts';
import { moment } from './moment.ts';

const PAGE = 100;

/** Who changed what, newest first. */
export function AuditScreen(): JSX.Element {
  const list = useLoaded<AuditShown[]>(`/api/audit?limit=${PAGE}`);
  const ended = useSignal(false);
  const fault = useSignal<string | null>(null);
  const entries = list.value.value ?? [];
  const older = async (): Promise<void> => {
    try {
      const next = await ask<AuditShown[]>(`/api/audit?limit=${PAGE}&before=${entries.at(-1)?.id ?? 1}`);
      list.value.value = [...entries, ...next];
      ended.value = next.length < PAGE;
      fault.value = null;
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      fault.value = error.message;
    }
  };
  return (
    <Frame title="Audit trail" page="audit" wide>
      <p class="soft">Every change, newest first. Entries are added, and neither changed nor taken away.</p>
      <ListState list={list} empty="Nothing was changed yet." />
      {entries.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls sideways has to be reached by keyboard (WCAG 2.1.1)
        <section class="audit-frame" tabIndex={0} aria-label="Changes">
          <table class="audit stacked">
            <thead>
              <tr>
                <th scope="col">When</th>
                <th scope="col">Who</th>
                <th scope="col">What</th>
                <th scope="col">From</th>
              </tr>
            </thead>
            <tbody>
              {entries.map(({ id, at, who, what, detail, origin }) => (
                <tr key={id}>
                  <td>
                    <time dateTime={at}>{moment(at)}</time>
                  </td>
                  <td>{who}</td>
                  <td>
                    <AuditWords what={what} detail={detail} />
                  </td>
                  <td>{origin}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      <p class="fault" role="alert">
        {fault.value}
      </p>
      {entries.length >= PAGE && !ended.value && (
        <button type="button" class="button" onClick={() => void older()}>
          Older entries
        </button>
      )}
    </Frame>
  );
}

/** An entry in a plain sentence; what was sent, word for word, lies folded below it. */
function AuditWords({ what, detail }: { what: string; detail: string }): JSX.Element {
  const nameOf = (id: string): string => wall.value?.guns.find((gun) => gun.id === id)?.name ?? id;
  const sentence = auditSentence(what, detail, nameOf);
  if (sentence === null)
    return (
      <>
        {what}
        {detail !== '' && <span class="soft"> {detail}</span>}
      </>
    );
  return (
    <>
      {sentence}
      <details>
        <summary class="soft">As it was sent</summary>
        <code>
          {what} {detail}
        </code>
      </details>
    </>
  );
}
