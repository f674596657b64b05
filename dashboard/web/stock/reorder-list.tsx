import type { JSX } from 'preact';
import { counted } from '../../../collector/contract/counted.ts';
import type { StockLine } from '../../server/shop/stock-model.ts';
import { causeName } from '../words/names.ts';

/** What to order, to print and to take away as CSV. */
export function ReorderList({ lines }: { lines: readonly StockLine[] }): JSX.Element {
  const wanted = lines.filter(({ order }) => order > 0);
  const known = lines.some(({ onHand }) => onHand !== null);
  return (
    <section class="reorder">
      <h2>To order</h2>
      {wanted.length === 0 && (
        <p>
          {known
            ? 'Nothing: the shelf covers its lead times.'
            : 'Count the shelf first: then this list says what to order.'}
        </p>
      )}
      {wanted.length > 0 && (
        <div class="table-room">
          <table class="figures stacked">
            <thead>
              <tr>
                <th scope="col">Part</th>
                <th scope="col" class="number">
                  Order
                </th>
                <th scope="col">Order number</th>
                <th scope="col">Supplier</th>
                <th scope="col" class="number">
                  On the shelf
                </th>
                <th scope="col" class="number">
                  On order
                </th>
                <th scope="col" class="number">
                  Lead time
                </th>
                <th scope="col">Note</th>
              </tr>
            </thead>
            <tbody>
              {wanted.map(({ part, order, item, onHand, onOrder }) => (
                <tr key={part}>
                  <th scope="row">{causeName(part)}</th>
                  <td class="number">
                    <strong>{order}</strong>
                  </td>
                  <td>{item.orderNumber || '–'}</td>
                  <td>{item.supplier || '–'}</td>
                  <td class="number">{onHand}</td>
                  <td class="number">{onOrder}</td>
                  <td class="number">{counted(item.leadTimeDays, 'day')}</td>
                  <td>{item.note}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <p class="no-print row">
        <button type="button" class="button" onClick={() => print()}>
          Print
        </button>
        <a class="button" href="/api/stock/reorder.csv" download>
          Save as CSV
        </a>
      </p>
    </section>
  );
}
