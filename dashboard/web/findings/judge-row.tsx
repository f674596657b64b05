import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Finding } from '../../../collector/contract/index.ts';
import { JUDGED, type Judged } from '../../../collector/contract/judgement.ts';
import { ApiFault, ask } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { mayDo } from '../sign-in/me.ts';

/** A person's word on a finding, as the API tells it. */
export interface Judgement {
  readonly gun: string | null;
  readonly cause: string;
  readonly raised: string;
  readonly judged: Judged | null;
  readonly reason: string;
  readonly who: string;
}

const WORDS: Readonly<Record<Judged, string>> = { right: 'Right', wrong: 'Wrong', unsure: 'Not sure' };

interface Props {
  readonly finding: Finding;
  readonly word: Judgement | null;
  readonly onJudged: (word: Judgement) => void;
}

/** Right, wrong or not sure, with a reason; it can be taken back, and is when pressed again. */
export function JudgeRow({ finding, word, onJudged }: Props): JSX.Element {
  const [reason, setReason] = useState(word?.reason ?? '');
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useFault();
  const judged = word?.judged ?? null;
  const row = useRef<HTMLFieldSetElement>(null);
  /** The word to whose button the keyboard returns: a button that was pressed is off while it works, and may be gone then. */
  const returnTo = useRef<Judged | null>(null);
  useEffect(() => {
    if (busy || returnTo.current === null) return;
    if (document.activeElement === document.body)
      row.current?.querySelector<HTMLElement>(`[data-word="${returnTo.current}"]`)?.focus();
    returnTo.current = null;
  }, [busy]);
  const say = async (next: Judged | null): Promise<void> => {
    returnTo.current = next ?? judged;
    setBusy(true);
    setFault(null);
    try {
      const { gun, cause, raised } = finding;
      const body = JSON.stringify({ gun, cause, raised, judged: next, reason: next === null ? '' : reason });
      onJudged(
        await ask<Judgement>('/api/judgements', {
          method: 'POST',
          headers: { 'Content-Type': 'application/json' },
          body,
        }),
      );
      if (next === null) setReason('');
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
    } finally {
      setBusy(false);
    }
  };
  const isReasonNew = judged !== null && reason.trim() !== (word?.reason ?? '');
  const said = judged === null || word === null ? '' : `${WORDS[judged]}, said by ${word.who}`;
  return (
    <>
      {said !== '' && (
        <p class="print-only">
          Judged: {said}
          {word?.reason ? `: ${word.reason}` : ''}.
        </p>
      )}
      <fieldset class="judge no-print" ref={row}>
        <legend class="unseen">Was it right?</legend>
        {JUDGED.map((one) => (
          <button
            type="button"
            class="button"
            key={one}
            data-word={one}
            aria-pressed={judged === one}
            disabled={busy || !mayDo('fitter')}
            // Whoever presses it again after a reason was typed means the reason.
            onClick={() => void say(judged === one && !isReasonNew ? null : one)}
          >
            {WORDS[one]}
          </button>
        ))}
        <label>
          Reason <input maxLength={500} value={reason} onInput={(event) => setReason(event.currentTarget.value)} />
        </label>
        {isReasonNew && (
          <button type="button" class="button" disabled={busy} onClick={() => void say(judged)}>
            Keep this reason
          </button>
        )}
        {judged !== null && word !== null && (
          <>
            <button type="button" class="button" disabled={busy || !mayDo('fitter')} onClick={() => void say(null)}>
              Take back
            </button>
            <span class="soft">said by {word.who}</span>
          </>
        )}
        {fault !== null && (
          <p class="fault" role="alert">
            {fault}
          </p>
        )}
      </fieldset>
    </>
  );
}
