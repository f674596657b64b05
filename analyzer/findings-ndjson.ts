import type { Finding } from '../collector/contract/index.ts';

/**
 * One finding as a line of NDJSON.
 *
 * @throws {RangeError} a number is not finite: JSON would turn it into null without a word
 */
export function findingLine(finding: Finding): string {
  return `${JSON.stringify(finding, refuseNonFinite)}\n`;
}

/** The contract's order of lines: raised, gun (those of several guns first), cause, asOf. */
export function byRaised(left: Finding, right: Finding): number {
  return (
    compare(Date.parse(left.raised), Date.parse(right.raised)) ||
    compare(left.gun ?? '', right.gun ?? '') ||
    compare(left.cause, right.cause) ||
    compare(Date.parse(left.asOf), Date.parse(right.asOf))
  );
}

function compare<T extends number | string>(left: T, right: T): number {
  return left < right ? -1 : left > right ? 1 : 0;
}

function refuseNonFinite(key: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value))
    throw new RangeError(`finding field "${key}" is ${value}: expected a finite number or null`);
  return value;
}
