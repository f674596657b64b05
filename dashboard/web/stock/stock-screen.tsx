import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import type { StockLine, StockStep } from '../../server/shop/stock-model.ts';
import { Frame } from '../frame/frame.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { causeName } from '../words/names.ts';
import { ItemForm } from './item-form.tsx';
import { Ledger } from './ledger.tsx';
import { MoveForm } from './move-form.tsx';
import { ReorderList } from './reorder-list.tsx';

/** Parts on the shelf: what is there, what to order, and the forms that move it. */
export function StockScreen(): JSX.Element {
  const lines = useLoaded<StockLine[]>('/api/stock');
  const moves = useLoaded<StockStep[]>('/api/stock/moves?limit=40');
  const site = useLoaded<Site>('/api/site');
  const [edited, setEdited] = useState<string | null>(null);
  const reload = async (): Promise<void> => {
    await Promise.all([lines.reload(), moves.reload()]);
  };
  const shown = lines.data?.find(({ part }) => part === edited) ?? null;
  return (
    <Frame title="Stock" page="stock" wide>
      <Waiting fault={lines.fault} empty={lines.data === null} />
      {lines.data && (
        <>
          <ReorderList lines={lines.data} />
          <section>
            <h2>On the shelf</h2>
            <ShelfTable
              lines={lines.data}
              edited={edited}
              onEdit={(part) => setEdited(part === edited ? null : part)}
            />
            <p class="soft">
              A logged change takes one from the shelf, once; an entry that is taken back gives it back. More changes
              than pieces are kept as a shortage until the next count: a change that was made is a fact.
            </p>
            {shown && (
              <ItemForm
                key={`${shown.part} ${shown.version}`}
                line={shown}
                onStated={reload}
                onClose={() => setEdited(null)}
              />
            )}
          </section>
          <MoveForm onMoved={reload} />
          {moves.data && site.data && <Ledger steps={moves.data} site={site.data} onUndone={reload} />}
          <Waiting fault={moves.fault} empty={false} />
        </>
      )}
    </Frame>
  );
}

interface TableProps {
  readonly lines: readonly StockLine[];
  readonly edited: string | null;
  readonly onEdit: (part: string) => void;
}

function ShelfTable({ lines, edited, onEdit }: TableProps): JSX.Element {
  return (
    <div class="table-room">
      <table class="figures stacked">
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col" class="number">
              On the shelf
            </th>
            <th scope="col" class="number">
              On order
            </th>
            <th scope="col" class="number">
              Order at
            </th>
            <th scope="col" class="number">
              Expected in lead time
            </th>
            <th scope="col">Order number, supplier</th>
            <th scope="col" class="no-print">
              <span class="unseen">Change</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={line.part}>
              <th scope="row">
                {causeName(line.part)}
                <small>{line.says}</small>
              </th>
              <td class="number">
                {line.onHand === null ? <span class="soft">not counted</span> : line.onHand}
                {line.shortage > 0 && <strong class="short">{line.shortage} short</strong>}
              </td>
              <td class="number">{line.onOrder}</td>
              <td class="number">{line.reorderPoint}</td>
              <td class="number">{line.expected.toFixed(1)}</td>
              <td>
                {[line.item.orderNumber, line.item.supplier].filter(Boolean).join(', ') || <span class="soft">–</span>}
              </td>
              <td class="no-print">
                <button
                  type="button"
                  class="button button-small"
                  aria-expanded={edited === line.part}
                  onClick={() => onEdit(line.part)}
                >
                  Change<span class="unseen"> how {causeName(line.part)} is kept</span>
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
