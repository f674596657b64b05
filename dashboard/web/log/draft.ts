import type { LogEntryBody } from '../../../collector/contract/log-entry.ts';
import { ACTIONS, type Action, FOUND, type Found } from '../../../collector/contract/parts.ts';
import { fromLocalField } from '../words/local-field.ts';
import { causeName } from '../words/names.ts';

/** A log entry while it is being filled in. */
export interface Draft {
  readonly gun: string | null;
  readonly part: string | null;
  readonly action: Action | null;
  readonly found: Found | null;
  /** Null for now, else what the field for date and time holds, in the plant's time zone. */
  readonly at: string | null;
  readonly note: string;
  /** Stand-off of the wear gauge in mm, as typed; only for the pump insert. */
  readonly standOff: string;
}

export const EMPTY: Draft = { gun: null, part: null, action: null, found: null, at: null, note: '', standOff: '' };

/** Actions and what was found, as people say them. */
export const ACTION_WORDS: Readonly<Record<Action, string>> = {
  replaced: 'Replaced',
  inspected: 'Inspected',
  cleaned: 'Cleaned',
  refitted: 'Refitted',
  adjusted: 'Adjusted',
};
export const FOUND_WORDS: Readonly<Record<Found, string>> = { good: 'Good', worn: 'Worn', failed: 'Failed' };

export const isAction = (text: string | null): text is Action => (ACTIONS as readonly (string | null)[]).includes(text);
export const isFound = (text: string | null): text is Found => (FOUND as readonly (string | null)[]).includes(text);

/** What still has to be said before the draft can be logged, in the order of the form. */
export function missing(draft: Draft, timezone: string): string[] {
  return [
    draft.gun === null && 'which gun',
    draft.part === null && 'which part',
    draft.action === null && 'what was done',
    draft.at !== null && fromLocalField(draft.at, timezone) === null && 'when',
    draft.standOff !== '' && !Number.isFinite(Number(draft.standOff)) && 'the stand-off as a number of mm',
  ].filter((gap) => gap !== false);
}

/**
 * The body to send for a draft that misses nothing.
 *
 * @param now service's clock, epoch ms; null when it is not known, then the service takes its own
 */
export function bodyOf(draft: Draft, now: number | null, timezone: string): LogEntryBody {
  const time = draft.at === null ? now : fromLocalField(draft.at, timezone);
  return {
    gun: draft.gun ?? '',
    part: draft.part ?? '',
    action: draft.action ?? 'inspected',
    ...(draft.found === null ? {} : { found: draft.found }),
    ...(draft.note.trim() === '' ? {} : { note: draft.note.trim() }),
    ...(draft.standOff === '' || draft.part !== 'pump-insert'
      ? {}
      : { measured: { value: Number(draft.standOff), unit: 'mm' } }),
    ...(time === null ? {} : { time: new Date(time).toISOString() }),
  };
}

/** The draft as one sentence: "Booth 1 left: pump insert replaced, found worn". */
export function inWords(
  { part, action, found }: { readonly part: string; readonly action: Action; readonly found: Found | null },
  gunName: string,
): string {
  const done = `${gunName}: ${causeName(part).toLowerCase()} ${action}`;
  return found === null ? done : `${done}, found ${found}`;
}
