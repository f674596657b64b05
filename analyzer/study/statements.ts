import type { Found, LogEntry } from '../../collector/contract/index.ts';

/** What the log says of a part of a gun at a time. */
export interface Statement {
  readonly gun: string;
  readonly part: string;
  /** Epoch ms. */
  readonly time: number;
  readonly found: Found | null;
  /** True when something was done to the part, false when it was only looked at. */
  readonly changed: boolean;
}

/** A part that was found worn or failed, whether it was changed then or later: what a finding should have told in time. */
export interface DuePart {
  readonly gun: string;
  readonly part: string;
  /** When it was found, epoch ms. */
  readonly time: number;
  readonly found: 'worn' | 'failed';
}

/** All statements of a log in order of time. */
export function statementsOf(log: readonly LogEntry[]): Statement[] {
  return log
    .map(({ gun, part, time, found, action }) => ({ gun, part, time, found, changed: action !== 'inspected' }))
    .sort((left, right) => left.time - right.time);
}

/**
 * The parts that people found worn or failed. A part that was found so several times before it was changed counts once,
 * when it was first found.
 */
export function dueParts(statements: readonly Statement[]): DuePart[] {
  const due: DuePart[] = [];
  const waiting = new Set<string>();
  for (const { gun, part, time, found, changed } of statements) {
    const key = `${gun} ${part}`;
    if ((found === 'worn' || found === 'failed') && !waiting.has(key)) due.push({ gun, part, time, found });
    if (changed) waiting.delete(key);
    else if (found === 'worn' || found === 'failed') waiting.add(key);
  }
  return due;
}
