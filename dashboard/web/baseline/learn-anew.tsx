import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Relearning } from '../../server/endpoints/baselines.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ask } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { useGoneOn } from '../link/use-gone-on.ts';
import { faultOf, send } from '../shop/send.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { mayDo } from '../sign-in/me.ts';
import { TimeField } from '../time-field.tsx';
import { fromLocalField } from '../words/local-field.ts';
import { dayAndClock } from '../words/site-time.ts';

interface Props {
  readonly gun: string;
  readonly site: Site;
  /** Settles once the page shows what was learnt since. */
  readonly onChanged: () => Promise<void>;
}

/** Has the baseline learnt anew from a date on, with a reason; what was decided stands below and can be taken back. */
export function LearnAnew({ gun, site, onChanged }: Props): JSX.Element {
  const { data, reload } = useLoaded<Relearning[]>(`/api/relearnings?gun=${encodeURIComponent(gun)}`);
  const [from, setFrom] = useState('');
  const [reason, setReason] = useState('');
  const [fault, setFault] = useFault();
  const [isLearning, setLearning] = useState(false);
  const [heading, goOn] = useGoneOn<HTMLHeadingElement>(data);
  const act = async (work: () => Promise<unknown>): Promise<void> => {
    goOn();
    const refused = await faultOf(work);
    setFault(refused);
    if (refused === null) {
      setFrom('');
      setReason('');
    }
    await reload();
    if (refused !== null) return;
    setLearning(true);
    await onChanged();
    setLearning(false);
  };
  const learn = (): Promise<void> => {
    const time = fromLocalField(from, site.timezone);
    if (time === null) {
      setFault('The date cannot be read.');
      return Promise.resolve();
    }
    return act(() => send('POST', '/api/relearnings', { gun, from: new Date(time).toISOString(), reason }));
  };
  const at = (text: string): string => dayAndClock(Date.parse(text), site);
  return (
    <section class={data?.length ? 'compare' : 'compare no-print'} aria-label="Learn anew">
      <h2 tabIndex={-1} ref={heading}>
        Learn anew from a date
      </h2>
      <p class="soft">
        As if the gun were commissioned then: its insert counts as of unknown age, unless a change is logged then. What
        was raised stays as it was; from now on findings follow the new baseline. It can be taken back.
      </p>
      <p role="status">{isLearning && 'The runs are read again; what stands above is still of before.'}</p>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {mayDo('engineer') ? (
        <form
          class="look-row no-print"
          onSubmit={(event) => {
            event.preventDefault();
            void learn();
          }}
        >
          <TimeField label="From" required value={from} style={site} onValue={setFrom} />
          <label>
            Reason{' '}
            <input required maxLength={500} value={reason} onInput={(event) => setReason(event.currentTarget.value)} />
          </label>
          <button type="submit" class="button" disabled={from === '' || reason.trim() === ''}>
            Learn anew
          </button>
        </form>
      ) : (
        <p class="soft">An engineer can do that.</p>
      )}
      <ul class="dashes">
        {[...(data ?? [])].reverse().map((one) => (
          <li key={one.id}>
            From {at(one.from)}: {one.reason}. Said by {one.who}, {at(one.at)}.{' '}
            {one.undoneAt !== null
              ? `Taken back by ${one.undoneBy ?? ''}, ${at(one.undoneAt)}.`
              : mayDo('engineer') && (
                  <button
                    type="button"
                    class="button no-print"
                    onClick={() => void act(() => ask(`/api/relearnings/${one.id}`, { method: 'DELETE' }))}
                  >
                    Take back
                  </button>
                )}
          </li>
        ))}
      </ul>
    </section>
  );
}
