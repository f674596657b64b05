import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { PART_IDS } from '../../../collector/contract/parts.ts';
import { useFault } from '../link/use-fault.ts';
import { ChoiceField, TypedField } from '../shop/field.tsx';
import { faultOf, newKey, send } from '../shop/send.ts';
import { causeName } from '../words/names.ts';

const KINDS = {
  counted: 'Counted: so many are on the shelf',
  delivered: 'Delivered: so many came',
  ordered: 'Ordered: so many are on order in all',
  taken: 'Taken beside changes: so many went',
} as const;

/** Writes a line of the shelf's ledger. */
export function MoveForm({ onMoved }: { onMoved: () => Promise<void> }): JSX.Element {
  const [part, setPart] = useState<string>('');
  const [kind, setKind] = useState<keyof typeof KINDS>('counted');
  const [quantity, setQuantity] = useState('');
  const [note, setNote] = useState('');
  const [fault, setFault] = useFault();
  const [done, setDone] = useState<string | null>(null);
  /** Kept until it is confirmed, so that sending again writes nothing twice. */
  const key = useRef(newKey());

  const change = (act: () => void): void => {
    act();
    key.current = newKey();
    setDone(null);
  };
  const submit = async (): Promise<void> => {
    if (part === '') return setFault('Still to say: which part.');
    if (!/^\d{1,6}$/.test(quantity))
      return setFault(`How many: found "${quantity}", expected a whole number of 0 or more.`);
    const body = { part, kind, quantity: Number(quantity), note };
    const refused = await faultOf(() => send('POST', '/api/stock/moves', body, key.current));
    setFault(refused);
    if (refused !== null) return;
    setDone(`${causeName(part)}: ${kind} ${quantity}.`);
    setQuantity('');
    setNote('');
    key.current = newKey();
    await onMoved();
  };
  return (
    <form
      class="shop-form no-print"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <h2>Count, delivery, order</h2>
      <div class="fields">
        <ChoiceField
          label="Part"
          value={part}
          none="Choose"
          choices={PART_IDS.map((id) => ({ value: id, name: causeName(id) }))}
          onChoose={(id) => change(() => setPart(id))}
        />
        <ChoiceField
          label="What"
          value={kind}
          choices={Object.entries(KINDS).map(([value, name]) => ({ value, name }))}
          onChoose={(value) => change(() => setKind(value as keyof typeof KINDS))}
        />
        <TypedField
          label="How many"
          value={quantity}
          inputMode="numeric"
          onType={(text) => change(() => setQuantity(text.trim()))}
        />
        <TypedField label="Note, if any" value={note} maxLength={500} onType={(text) => change(() => setNote(text))} />
      </div>
      <p class="fault" role="alert">
        {fault}
      </p>
      <p role="status">{done}</p>
      <button type="submit" class="button">
        Write down
      </button>
    </form>
  );
}
