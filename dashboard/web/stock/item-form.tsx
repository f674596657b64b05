import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { StockLine } from '../../server/shop/stock-model.ts';
import { useFault } from '../link/use-fault.ts';
import { faultOf, send } from '../shop/send.ts';
import { causeName } from '../words/names.ts';

interface Props {
  readonly line: StockLine;
  readonly onStated: () => Promise<void>;
  readonly onClose: () => void;
}

/** How one part is kept: all of it the shop's own. */
export function ItemForm({ line, onStated, onClose }: Props): JSX.Element {
  const { item } = line;
  const [fields, setFields] = useState({
    orderNumber: item.orderNumber,
    supplier: item.supplier,
    leadTimeDays: String(item.leadTimeDays),
    serviceLevel: String(Math.round(item.serviceLevel * 1000) / 10),
    perChange: String(item.perChange),
    coverDays: String(item.coverDays),
    note: item.note,
  });
  const [fault, setFault] = useFault();
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  const submit = async (): Promise<void> => {
    const stated = {
      ...fields,
      leadTimeDays: Number(fields.leadTimeDays),
      serviceLevel: Number(fields.serviceLevel) / 100,
      perChange: Number(fields.perChange),
      coverDays: Number(fields.coverDays),
    };
    const refused = await faultOf(() =>
      send('PUT', `/api/stock/${line.part}`, { version: line.version, item: stated }),
    );
    setFault(refused);
    await onStated();
    if (refused === null) onClose();
  };
  const field = (name: keyof typeof fields, label: string, numeric = false): JSX.Element => (
    <label class="field">
      <span>{label}</span>
      <input
        ref={name === 'orderNumber' ? first : null}
        value={fields[name]}
        {...(numeric ? { inputMode: 'decimal' as const } : { maxLength: 500 })}
        onInput={({ currentTarget }) => setFields({ ...fields, [name]: currentTarget.value })}
      />
    </label>
  );
  return (
    <form
      class="shop-form no-print"
      noValidate
      aria-label={`How ${causeName(line.part)} is kept`}
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
      onKeyDown={({ key }) => key === 'Escape' && onClose()}
    >
      <h3>{causeName(line.part)}</h3>
      <div class="fields">
        {field('orderNumber', 'Your order number')}
        {field('supplier', 'Your supplier')}
        {field('leadTimeDays', 'Days from order to shelf', true)}
        {field('serviceLevel', 'Not run out before it comes, %', true)}
        {field('perChange', 'Pieces or sets for one change', true)}
        {field('coverDays', 'Days that an order is to last', true)}
        {field('note', 'Note')}
      </div>
      <p class="fault" role="alert">
        {fault}
      </p>
      <p class="row">
        <button type="submit" class="button">
          Keep it so
        </button>
        <button type="button" class="button" onClick={onClose}>
          Leave as it was
        </button>
      </p>
    </form>
  );
}
