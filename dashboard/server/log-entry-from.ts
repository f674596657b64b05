import { measureFault, partsOf } from '../../analyzer/index.ts';
import { type LogEntry, type LogEntryBody, type Plant, parseTime } from '../../collector/contract/index.ts';
import { type Problem, RequestFault } from './problem.ts';

/** Source: contract section 4, clocks may run ahead of the receiver's by 5 minutes and no more; nothing is older than 2000. */
const AHEAD_MS = 5 * 60_000;
const EARLIEST_MS = Date.UTC(2000, 0, 1);

/**
 * A body of `POST /api/log` as a log entry of this plant.
 *
 * @param now epoch ms: the time of an entry that names none
 * @throws {RequestFault} BODY_INVALID, naming every field that does not fit this plant
 */
export function logEntryFrom(body: LogEntryBody, plant: Plant, now: number): LogEntry {
  const errors: NonNullable<Problem['errors']> = [];
  const gun = plant.guns.find(({ id }) => id === body.gun);
  // A plant-air point has sensors that can be exchanged, and no parts.
  const isPoint = body.part.startsWith('sensor:') && plant.air.some(({ id }) => id === body.gun);
  if (!gun && !isPoint)
    errors.push({ pointer: '#/gun', detail: `no gun "${body.gun}" in the plant file; expected ${someOf(plant)}` });
  const parts: readonly string[] = gun === undefined ? [] : partsOf(gun);
  if (gun !== undefined && !body.part.startsWith('sensor:') && !parts.includes(body.part))
    errors.push({
      pointer: '#/part',
      detail: `"${body.gun}" has no ${body.part} by the plant file; expected one of ${parts.join(', ')}`,
    });
  const unfit = body.measured ? measureFault(body.part, body.measured) : null;
  if (unfit !== null) errors.push({ pointer: '#/measured', detail: unfit });
  const time = body.time === undefined ? now : parseTime(body.time);
  if (time > now + AHEAD_MS)
    errors.push({
      pointer: '#/time',
      detail: `"${body.time}" is in the future; expected at most ${new Date(now).toISOString()}, when this was received`,
    });
  if (time < EARLIEST_MS) errors.push({ pointer: '#/time', detail: `"${body.time}" is before 2000` });
  const note = body.note ?? '';
  if (!isPlain(note))
    errors.push({ pointer: '#/note', detail: 'holds control characters or broken Unicode; expected plain text' });
  if (errors.length > 0) throw new RequestFault('BODY_INVALID', errors.map(({ detail }) => detail).join('; '), errors);
  const entry = { time, gun: body.gun, part: body.part, action: body.action, found: body.found || null, note };
  return body.measured ? { ...entry, measured: body.measured } : entry;
}

const someOf = (plant: Plant): string => {
  const ids = plant.guns.map(({ id }) => id);
  return ids.length > 12
    ? `one of ${ids.slice(0, 12).join(', ')} and ${ids.length - 12} more`
    : `one of ${ids.join(', ')}`;
};

/** True for text of whole characters without control characters, line ends and tabs excepted. */
function isPlain(text: string): boolean {
  for (const character of text) {
    const code = character.codePointAt(0) as number;
    const control = code < 0x20 || (code >= 0x7f && code < 0xa0);
    if ((control && !'\n\r\t'.includes(character)) || (code >= 0xd800 && code < 0xe000)) return false;
  }
  return true;
}
