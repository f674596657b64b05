import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import type { CostAnswer, MonthCostRow } from '../../server/shop/cost-model.ts';
import { decimal } from '../words/figures.ts';
import { airVolume, figure, money, monthName, powder } from '../words/shop-units.ts';

type Row = Omit<MonthCostRow, 'month' | 'gun'>;

/** Rows by month and gun with their sum. */
export function CostTable({ cost, site }: { cost: CostAnswer; site: Site }): JSX.Element {
  const { rows, total, currency } = cost;
  const nameOf = (gun: string): string => site.guns.find(({ id }) => id === gun)?.name ?? gun;
  const air = airVolume(1, site.units);
  const mass = powder(1, site.units);
  const cells = (row: Row): JSX.Element => (
    <>
      <td class="number">{decimal(row.sprayHours, 1)}</td>
      <td class="number">{figure(row.excessAirM3 === null ? null : row.excessAirM3 * air.value, 0)}</td>
      <td class="number">{figure(row.energyKwh, 1)}</td>
      <td class="number">{money(row.airMoney, currency)}</td>
      <td class="number">{changes(row.early, row.earlyMoney, currency)}</td>
      <td class="number">{changes(row.late, row.lateMoney, currency)}</td>
      <td class="number">
        {figure(row.powderKilograms === null ? null : row.powderKilograms * mass.value, 0)}
        {row.powderMoney !== null && <small>{money(row.powderMoney, currency)}</small>}
      </td>
      <td class="number">
        {figure(row.rejects, 0)}
        {row.rejectMoney !== null && <small>{money(row.rejectMoney, currency)}</small>}
      </td>
      <td class="number">
        <strong>{money(row.money, currency)}</strong>
      </td>
    </>
  );
  const months = [...new Set(rows.map(({ month }) => month))].reverse();
  if (rows.length === 0) return <p>Nothing was sprayed in these months.</p>;
  return (
    <div class="table-room">
      <table class="figures stacked">
        <thead>
          <tr>
            <th scope="col">Gun</th>
            <th scope="col" class="number">
              Spray hours
            </th>
            <th scope="col" class="number">
              Excess air, {air.unit}
            </th>
            <th scope="col" class="number">
              Its energy, kWh
            </th>
            <th scope="col" class="number">
              Its cost
            </th>
            <th scope="col" class="number">
              Changed too early
            </th>
            <th scope="col" class="number">
              Changed too late
            </th>
            <th scope="col" class="number">
              Powder lost, {mass.unit}
            </th>
            <th scope="col" class="number">
              Rejects
            </th>
            <th scope="col" class="number">
              Together
            </th>
          </tr>
        </thead>
        {months.map((month) => (
          <tbody key={month}>
            <tr class="group">
              <th scope="rowgroup" colSpan={10}>
                {monthName(month)}
              </th>
            </tr>
            {rows
              .filter((row) => row.month === month)
              .map((row) => (
                <tr key={row.gun}>
                  <th scope="row">{nameOf(row.gun)}</th>
                  {cells(row)}
                </tr>
              ))}
          </tbody>
        ))}
        <tfoot>
          <tr>
            <th scope="row">All</th>
            {cells(total)}
          </tr>
        </tfoot>
      </table>
    </div>
  );
}

function changes(count: number, cost: number | null, currency: string): JSX.Element | string {
  if (count === 0) return '0';
  return (
    <>
      {count}
      <small>{cost === null ? 'no price stated' : money(cost, currency)}</small>
    </>
  );
}
