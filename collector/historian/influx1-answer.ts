import { STATUS_CODES } from 'node:http';
import { ANSWER_LATE } from './target.ts';

/** As the `influx` client throws an answer below 500; of others it keeps the status' name alone, and nothing else. */
interface Answered extends Error {
  readonly res: { readonly statusCode: number; readonly statusMessage: string };
}

/**
 * What kept InfluxDB 1.x from doing as it was asked, in words for people: its own words without the client library's around them.
 *
 * @param error as thrown by the `influx` client
 */
export function influx1Words(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const { message } = error;
  if (isAnswered(error)) {
    const { statusCode, statusMessage } = error.res;
    const said = saidIn(message.slice(message.indexOf(': ') + 2).trim());
    return `InfluxDB answered ${statusCode} ${statusMessage}${said === '' ? '' : `: ${said}`}`;
  }
  if (message === 'Request timed out') return ANSWER_LATE;
  const status = Object.keys(STATUS_CODES).find((code) => Number(code) >= 500 && STATUS_CODES[code] === message);
  return status === undefined
    ? message
    : `InfluxDB is not well: it answered ${status} ${message}; its own log says why, and after a full disk there it may need a restart`;
}

function isAnswered(error: Error): error is Answered {
  return 'res' in error && typeof (error as Answered).res?.statusCode === 'number';
}

/** `{"error":"…"}`, as InfluxDB answers; anything else as it is. */
function saidIn(body: string): string {
  try {
    const { error } = JSON.parse(body) as { error?: unknown };
    return typeof error === 'string' ? error : body;
  } catch {
    return body;
  }
}
