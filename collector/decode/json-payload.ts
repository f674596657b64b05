import { isUtf8 } from 'node:buffer';
import { quoted } from '../contract/index.ts';
import type { PackLimits } from './decoded.ts';
import { scanJson } from './json-scan.ts';
import type { Reason } from './reasons.ts';

export type JsonPayload =
  | {
      readonly ok: true;
      readonly value: unknown;
      /** A number was written with a capital E. */
      readonly capitalExponent: boolean;
    }
  | { readonly ok: false; readonly reason: Reason; readonly detail: string };

/** Lists and objects for each record that is allowed. Source: own choice: one of its own, the rest for labels that are ignored. */
const CONTAINERS_A_RECORD = 4;

/**
 * Reads a payload as JSON, within limits; never throws.
 *
 * @param expected what it should be, for messages
 */
export function readJson(payload: Buffer, limits: PackLimits, expected: string): JsonPayload {
  if (!isUtf8(payload)) return refused('not-utf8', `found bytes that are not UTF-8, expected ${expected}`);
  const { depth, containers, capitalExponent } = scanJson(payload);
  if (depth > limits.depth)
    return refused('too-large', `found ${depth} levels of nesting, expected at most ${limits.depth}`);
  const most = CONTAINERS_A_RECORD * limits.records;
  if (containers > most) return refused('too-large', `found ${containers} lists and objects, expected at most ${most}`);
  try {
    return { ok: true, value: JSON.parse(payload.toString('utf8')), capitalExponent };
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return refused('not-json', `found ${quoted(payload.toString('utf8', 0, 200))}, expected ${expected}`);
  }
}

function refused(reason: Reason, detail: string): JsonPayload {
  return { ok: false, reason, detail };
}
