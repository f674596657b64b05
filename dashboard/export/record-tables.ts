import type { Store } from '../../collector/index.ts';
import type { Span } from './readings-table.ts';
import { type ExportTable, tableOfRows } from './table.ts';

const within =
  ({ from, to }: Span) =>
  (time: number): boolean =>
    time >= (from ?? Number.NEGATIVE_INFINITY) && time < (to ?? Number.POSITIVE_INFINITY);

/** The last state of every finding. */
export function findingsTable(store: Store, span: Span): ExportTable {
  const isIn = within(span);
  return tableOfRows(
    `gun guns cause category onset:time raised:time as_of:time cleared:time excess_air:number left_p10:number left_p50:number
     left_p90:number candidates evidence`,
    store.findings
      .list()
      .map(({ finding }) => finding)
      .filter(({ raised }) => isIn(Date.parse(raised)))
      .sort((left, right) => left.raised.localeCompare(right.raised))
      .map((one) => [
        ...[one.gun, one.guns?.join(' ') ?? null, one.cause, one.category, Date.parse(one.onset)],
        ...[Date.parse(one.raised), Date.parse(one.asOf), one.cleared === null ? null : Date.parse(one.cleared)],
        ...[one.excessAir, one.remaining?.sprayHours.p10 ?? null, one.remaining?.sprayHours.p50 ?? null],
        ...[one.remaining?.sprayHours.p90 ?? null],
        one.candidates.map(({ cause, probability }) => `${cause} ${probability}`).join('; '),
        one.evidence.join('; '),
      ]),
  );
}

/** The maintenance log with all that was taken back; `part` and `action` as the contract has them. */
export function logTable(store: Store, span: Span, only: 'all' | 'checks'): ExportTable {
  const isIn = within(span);
  const back = new Map(store.log.corrections().map((one) => [one.entry, one]));
  return tableOfRows(
    `entry:number time:time gun part action found measured:number measured_unit note who source recorded_at:time
     taken_back:time taken_back_by taken_back_why replaced_by:number`,
    store.log
      .history()
      .filter(({ time, action }) => isIn(time) && (only === 'all' || action === 'inspected'))
      .map((one) => {
        const taken = back.get(one.id);
        return [
          ...[one.id, one.time, one.gun, one.part, one.action, one.found, one.measured?.value ?? null],
          ...[one.measured?.unit ?? null, one.note, one.who, one.source, one.recordedAt],
          ...[taken?.at ?? null, taken?.who ?? null, taken?.why ?? null, taken?.replacement ?? null],
        ];
      }),
  );
}

/** Every version of the settings, values as JSON. */
export function settingsTable(store: Store): ExportTable {
  return tableOfRows(
    'version:number adopted:time recorded_at:time who why expected settings',
    store.settings
      .list()
      .map((one) => [
        ...[one.version, one.adopted, one.recordedAt, one.who, one.why, one.expected, JSON.stringify(one.settings)],
      ]),
  );
}

/** What people said of findings, the word that holds. */
export function judgementsTable(store: Store): ExportTable {
  return tableOfRows(
    'gun cause raised:time judged reason who at:time',
    store.truths
      .judgements()
      .map(({ gun, cause, raised, judged, reason, who, at }) => [gun, cause, raised, judged, reason, who, at]),
  );
}

/** Spans of runs that people left out, also those taken in again. */
export function exclusionsTable(store: Store): ExportTable {
  return tableOfRows(
    'id:number gun from:time to:time reason who at:time undone_at:time undone_by',
    store.truths
      .exclusions({ undone: true })
      .map((one) => [one.id, one.gun, one.from, one.to, one.reason, one.who, one.at, one.undoneAt, one.undoneBy]),
  );
}

/** Who changed what. */
export function auditTable(store: Store, span: Span): ExportTable {
  const isIn = within(span);
  return tableOfRows(
    'id:number at:time who what detail origin',
    store.audit
      .list({ limit: Number.MAX_SAFE_INTEGER })
      .filter(({ at }) => isIn(at))
      .reverse()
      .map(({ id, at, who, what, detail, origin }) => [id, at, who, what, detail, origin]),
  );
}
