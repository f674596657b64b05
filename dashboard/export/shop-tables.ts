import type { ShopSource, UpkeepSource } from '../server/index.ts';
import type { Span } from './readings-table.ts';
import { type ExportTable, tableOfRows } from './table.ts';

/** All jobs, also those that ended, with what people said of them. */
export function jobsTable(upkeep: UpkeepSource): ExportTable {
  return tableOfRows(
    `rank:number job gun part action state reopened:boolean alert raised:time cleared:time due:time due_why stop:time stop_kind
     check_first safety_relevant:boolean source planned_for:time planned_note shelved_until:time shelved_reason
     suppressed_reason attempts:number version:number`,
    upkeep
      .loop()
      .jobs.map((job) => [
        ...[
          job.rank,
          job.id,
          job.gun,
          job.part,
          job.action,
          job.state,
          job.reopened,
          job.alert,
          job.raised,
          job.cleared,
        ],
        ...[job.due, job.dueWhy.join('; '), job.stop?.at ?? null, job.stop?.kind ?? null, job.benchCheck?.part ?? null],
        ...[job.safetyRelevant, job.source, job.planned?.for ?? null, job.planned?.note ?? null],
        ...[job.shelved?.until ?? null, job.shelved?.reason ?? null, job.suppressed?.reason ?? null],
        ...[job.attempts.length, job.version],
      ]),
  );
}

/** Parts on guns with their counters. */
export function partsTable(upkeep: UpkeepSource): ExportTable {
  return tableOfRows(
    `gun part fitted_since:time counted_from:time spray_hours:number kilograms:number days:number last_care:time last_action
     last_found expected_from left_p10:number left_p50:number left_p90:number due:time`,
    upkeep
      .loop()
      .guns.flatMap(({ gun, parts, due }) =>
        parts.map((part) => [
          ...[gun, part.part, part.fittedSince, part.countedFrom, part.sinceFitted.sprayHours],
          ...[part.sinceFitted.kilograms, part.days, part.lastCare?.time ?? null, part.lastCare?.action ?? null],
          ...[part.lastCare?.found ?? null, part.expected?.from ?? null, part.expected?.sprayHours?.p10 ?? null],
          ...[part.expected?.sprayHours?.p50 ?? null, part.expected?.sprayHours?.p90 ?? null],
          due.find((one) => one.part === part.part)?.due ?? null,
        ]),
      ),
  );
}

/** What is due, by due time. */
export function dueTable(upkeep: UpkeepSource): ExportTable {
  return tableOfRows(
    'due:time gun part work by interval_due:time safety_relevant:boolean why',
    upkeep
      .loop()
      .guns.flatMap((gun) => gun.due)
      .sort((left, right) => (left.due ?? Number.MAX_VALUE) - (right.due ?? Number.MAX_VALUE))
      .map((one) => [
        ...[one.due, one.gun, one.part, one.work, one.by, one.intervalDue, one.safetyRelevant, one.why.join('; ')],
      ]),
  );
}

/** The shelf now. */
export function stockTable(shop: ShopSource): ExportTable {
  return tableOfRows(
    `part on_shelf:number shortage:number on_order:number counted_at:time reorder_point:number order_up_to:number order:number
     expected_in_lead_time:number lead_time_days:number service_level:number order_number supplier note says`,
    shop
      .stock()
      .map((line) => [
        ...[line.part, line.onHand, line.shortage, line.onOrder, timeOf(line.countedAt), line.reorderPoint],
        ...[line.orderUpTo, line.order, line.expected, line.item.leadTimeDays, line.item.serviceLevel],
        ...[line.item.orderNumber, line.item.supplier, line.item.note, line.says],
      ]),
  );
}

/** Everything that moved the shelf, changes of parts included. */
export function stockMovesTable(shop: ShopSource): ExportTable {
  return tableOfRows(
    'id:number time:time part kind quantity:number gun note who undone_at:time undone_by',
    [...shop.steps({ part: null, limit: Number.MAX_SAFE_INTEGER })]
      .reverse()
      .map((step) => [
        ...[step.id, timeOf(step.time), step.part, step.kind, step.quantity, step.gun, step.note, step.who],
        ...[timeOf(step.undone?.at ?? null), step.undone?.who ?? null],
      ]),
  );
}

/** All that was done and shown, oldest first. */
export function journalTable(shop: ShopSource, { from, to }: Span): ExportTable {
  const span = { from: from ?? Number.NEGATIVE_INFINITY, to: to ?? Number.POSITIVE_INFINITY };
  return tableOfRows(
    'time:time kind gun subject what note who recorded_at:time entry:number taken_back',
    [...shop.journal({ ...span, limit: Number.MAX_SAFE_INTEGER })]
      .reverse()
      .map((line) => [
        ...[timeOf(line.time), line.kind, line.gun, line.subject, line.what, line.note, line.who],
        ...[timeOf(line.recordedAt), line.entry, line.takenBack],
      ]),
  );
}

/** Life statistics: of all guns, by powder family and by gun. */
export function livesTable(shop: ShopSource): ExportTable {
  const rows = (['all', 'family', 'gun'] as const).flatMap((by) =>
    shop
      .lives({ part: null, by, measure: 'sprayHours' })
      .groups.map((one) => [
        ...[by, one.part, one.group, one.lives, one.ended, one.enough, one.shape?.value ?? null],
        ...[one.scale?.value ?? null, one.b10?.value ?? null, one.b10?.low ?? null, one.b10?.high ?? null],
        ...[one.median?.value ?? null, one.mean, one.best.age, one.says],
      ]),
  );
  return tableOfRows(
    `by part group lives:number ended:number enough shape:number scale_h:number b10_h:number b10_low_h:number b10_high_h:number
     median_h:number mean_h:number best_age_h:number says`,
    rows,
  );
}

const timeOf = (text: string | null): number | null => (text === null ? null : Date.parse(text));
