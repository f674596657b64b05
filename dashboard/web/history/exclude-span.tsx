import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { useGoneOn } from '../link/use-gone-on.ts';
import { mayDo } from '../sign-in/me.ts';
import { clock, day, secondsClock } from '../words/site-time.ts';
import { type Span, TOLD_BY_SECONDS_MS } from './look.ts';

interface Props {
  readonly answer: HistoryAnswer;
  readonly site: Site;
  readonly onChanged: () => void;
}

/** Leaves the runs of the span that is shown out of learning and judging, with a reason, and takes such runs in again. */
export function ExcludeSpan({ answer, site, onChanged }: Props): JSX.Element {
  const [reason, setReason] = useState('');
  const [fault, setFault] = useFault();
  const [heading, goOn] = useGoneOn<HTMLHeadingElement>(answer);
  const change = async (path: string, init: RequestInit): Promise<void> => {
    goOn();
    try {
      await ask(path, init);
      setReason('');
      setFault(null);
      onChanged();
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
    }
  };
  const { gun, from, to, excluded } = answer;
  const toldWithin =
    (span: Span) =>
    (ms: number): string =>
      `${day(ms, site, Number.POSITIVE_INFINITY)}, ${(span.to - span.from < TOLD_BY_SECONDS_MS ? secondsClock : clock)(ms, site)}`;
  const told = toldWithin(answer);
  return (
    <section class="compare no-print" aria-label="Runs left out">
      <h2 tabIndex={-1} ref={heading}>
        Runs left out
      </h2>
      {mayDo('engineer') && (
        <form
          class="look-row"
          onSubmit={(event) => {
            event.preventDefault();
            const body = JSON.stringify({
              ...{ gun, reason },
              from: new Date(from).toISOString(),
              to: new Date(to).toISOString(),
            });
            void change('/api/exclusions', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body });
          }}
        >
          <label>
            Reason{' '}
            <input required maxLength={500} value={reason} onInput={(event) => setReason(event.currentTarget.value)} />
          </label>
          <button type="submit" class="button" disabled={reason.trim() === ''}>
            Leave out {told(from)} to {told(to)}
          </button>
        </form>
      )}
      <p class="soft">
        {mayDo('engineer')
          ? 'Look at just the runs that are meant first. They stay stored, and can be taken in again.'
          : 'Runs are left out by engineers.'}
      </p>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <ul class="dashes">
        {excluded.map((one) => (
          <li key={one.id}>
            {toldWithin(one)(one.from)} to {toldWithin(one)(one.to)}: {one.reason}{' '}
            {mayDo('engineer') && (
              <button
                type="button"
                class="button"
                onClick={() => void change(`/api/exclusions/${one.id}`, { method: 'DELETE' })}
              >
                Take in again
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
