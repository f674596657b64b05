import { parseTime } from '../../collector/contract/index.ts';
import { RequestFault } from './problem.ts';

/** Source: contract section 4, clocks may run ahead of the receiver's by 5 minutes; nothing is older than 2000. */
const AHEAD_MS = 5 * 60_000;
const EARLIEST_MS = Date.UTC(2000, 0, 1);

/**
 * When something happened, as a body's field `time` tells it: epoch ms; `now` where it tells nothing.
 *
 * @throws {RequestFault} BODY_INVALID for a time that is no time, in the future or before 2000
 */
export function timeOf(text: string | undefined, now: number): number {
  const time = text === undefined ? now : parseTime(text);
  const fault = (detail: string): RequestFault =>
    new RequestFault('BODY_INVALID', detail, [{ pointer: '#/time', detail }]);
  if (!Number.isFinite(time)) throw fault(`found "${text}"; expected ISO 8601 with offset or Unix seconds`);
  if (time > now + AHEAD_MS)
    throw fault(`"${text}" is in the future; expected at most ${new Date(now).toISOString()}, when this was received`);
  if (time < EARLIEST_MS) throw fault(`"${text}" is before 2000`);
  return time;
}
