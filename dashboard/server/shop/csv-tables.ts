import { type Cell, csvText, rounded } from '../csv-text.ts';
import type { CostAnswer } from './cost-model.ts';
import type { JournalLine, Report } from './journal-model.ts';
import type { LifeAnswer } from './life-model.ts';
import type { StockLine } from './stock-model.ts';

const REORDER =
  'part,order,order_number,supplier,on_shelf,on_order,reorder_point,expected_in_lead_time,lead_time_days,service_level,note';

/** What to order, one line a part. */
export function reorderCsv(lines: readonly StockLine[]): string {
  const rows = lines
    .filter(({ order }) => order > 0)
    .map(({ part, item, order, onHand, onOrder, reorderPoint, expected }): Cell[] => [
      ...[part, order, item.orderNumber, item.supplier, onHand, onOrder, reorderPoint, rounded(expected, 2)],
      ...[item.leadTimeDays, item.serviceLevel, item.note],
    ]);
  return csvText(REORDER.split(','), rows);
}

/** The whole shelf, one line a part. */
export function shelfCsv(lines: readonly StockLine[]): string {
  const head = 'part,on_shelf,shortage,on_order,reorder_point,order,expected_in_lead_time,order_number,supplier,says';
  const rows = lines.map((line): Cell[] => [
    ...[line.part, line.onHand, line.shortage, line.onOrder, line.reorderPoint, line.order, rounded(line.expected, 2)],
    ...[line.item.orderNumber, line.item.supplier, line.says],
  ]);
  return csvText(head.split(','), rows);
}

const COST =
  'month,gun,spray_hours,judged_hours,excess_air_m3,energy_kwh,air_money,early,early_money,late,late_money,powder_kg,powder_money,rejects,reject_money,money,currency';

/** Cost of wear, one line a month and gun. */
export function costCsv({ rows, currency }: CostAnswer): string {
  const lines = rows.map((row): Cell[] => [
    ...[row.month, row.gun, rounded(row.sprayHours, 2), rounded(row.judgedHours, 2), rounded(row.excessAirM3, 2)],
    ...[rounded(row.energyKwh, 2), rounded(row.airMoney, 2), row.early, rounded(row.earlyMoney, 2)],
    ...[row.late, rounded(row.lateMoney, 2), row.powderKilograms, rounded(row.powderMoney, 2)],
    ...[row.rejects, rounded(row.rejectMoney, 2), rounded(row.money, 2), currency],
  ]);
  return csvText(COST.split(','), lines);
}

/** Life statistics, one line a group. */
export function lifeCsv({ groups, measure }: LifeAnswer): string {
  const head =
    'part,group,measure,lives,ended,enough,shape,shape_low,shape_high,scale,b10,b10_low,b10_high,median,mean,best_age,says,best_age_says';
  const rows = groups.map(
    ({ part, group, lives, ended, enough, shape, scale, b10, median, mean, best, says }): Cell[] => [
      ...[part, group, measure, lives, ended, enough],
      ...[
        shape?.value,
        shape?.low,
        shape?.high,
        scale?.value,
        b10?.value,
        b10?.low,
        b10?.high,
        median?.value,
        mean,
        best.age,
      ].map((value) => rounded(value ?? null, 3)),
      ...[says, best.says],
    ],
  );
  return csvText(head.split(','), rows);
}

/** All that was done, one line a thing. */
export function journalCsv(lines: readonly JournalLine[]): string {
  const head = 'time,kind,gun,subject,what,note,who,recorded_at,entry,taken_back';
  const rows = lines.map((line): Cell[] => [
    ...[line.time, line.kind, line.gun, line.subject, line.what, line.note, line.who],
    ...[line.recordedAt, line.entry, line.takenBack],
  ]);
  return csvText(head.split(','), rows);
}

/** A shift or week, one line a fact. */
export function reportCsv({ guns, open, raised, cleared, done, toOrder }: Report): string {
  const head = 'section,time,gun,subject,what,spray_hours,kilograms,excess_air,note,who';
  const blank = [null, null, null];
  const rows: Cell[][] = [
    ...guns.map(({ name, state, sprayHours, kilograms, excessAir }) => [
      ...['gun', null, name, null, state, rounded(sprayHours, 2), rounded(kilograms, 1), rounded(excessAir, 3)],
      ...[null, null],
    ]),
    ...open.map(({ gun, part, action, reason, stock }) => [
      ...['open', null, gun, part, action, ...blank, stock === null ? reason : `${reason}; ${stock}`, null],
    ]),
    ...raised.map(({ at, gun, cause, category }) => ['raised', at, gun, cause, category, ...blank, null, null]),
    ...cleared.map(({ at, gun, cause }) => ['cleared', at, gun, cause, null, ...blank, null, null]),
    ...done.map(({ time, gun, subject, what, note, who, takenBack }) => [
      ...['done', time, gun, subject, what, ...blank, [note, takenBack].filter(Boolean).join('; '), who],
    ]),
    ...toOrder.map(({ part, order }) => ['order', null, null, part, order, ...blank, null, null]),
  ];
  return csvText(head.split(','), rows);
}
