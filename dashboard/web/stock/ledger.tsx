import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import type { StockStep } from '../../server/shop/stock-model.ts';
import { now } from '../link/live.ts';
import { useFault } from '../link/use-fault.ts';
import { Folded } from '../shop/folded.tsx';
import { faultOf, send } from '../shop/send.ts';
import { causeName } from '../words/names.ts';
import { clock, day } from '../words/site-time.ts';

interface Props {
  readonly steps: readonly StockStep[];
  readonly site: Site;
  readonly onUndone: () => Promise<void>;
}

/** What came and went, newest first. Lines of the ledger can be taken back; a change is taken back in the log. */
export function Ledger({ steps, site, onUndone }: Props): JSX.Element {
  const [fault, setFault] = useFault();
  const undo = async (id: number): Promise<void> => {
    setFault(await faultOf(() => send('POST', `/api/stock/moves/${id}/undo`, {})));
    await onUndone();
  };
  const nameOf = (gun: string): string => site.guns.find(({ id }) => id === gun)?.name ?? gun;
  return (
    <Folded title="What came and went">
      <p class="fault" role="alert">
        {fault}
      </p>
      {steps.length === 0 && <p>Nothing yet. A count is the beginning.</p>}
      <ol class="ledger">
        {steps.map((step) => (
          <li key={`${step.id} ${step.time} ${step.part} ${step.gun}`} class={step.undone ? 'undone' : ''}>
            <time dateTime={step.time}>
              {day(Date.parse(step.time), site, now.value)}, {clock(Date.parse(step.time), site)}
            </time>
            <span>
              {causeName(step.part)}: {wordsOf(step)}
              {step.gun !== null && ` for ${nameOf(step.gun)}`}
              {step.note !== '' && <em> · {step.note}</em>}
              {step.who !== '' && <small> · {step.who}</small>}
              {step.undone && <strong> · taken back by {step.undone.who}</strong>}
            </span>
            {step.id !== null && !step.undone && (
              <button type="button" class="button button-small" onClick={() => void undo(step.id ?? 0)}>
                Undo
                <span class="unseen">
                  {' '}
                  {causeName(step.part)}: {wordsOf(step)}
                </span>
              </button>
            )}
          </li>
        ))}
      </ol>
    </Folded>
  );
}

function wordsOf({ kind, quantity }: StockStep): string {
  const count = Math.abs(quantity);
  switch (kind) {
    case 'counted':
      return `counted ${count}`;
    case 'delivered':
      return `${count} delivered`;
    case 'ordered':
      return `${count} on order`;
    case 'taken':
      return `${count} taken`;
    case 'used':
      return `${count} used`;
  }
}
