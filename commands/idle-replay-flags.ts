import { AppError } from '../collector/contract/index.ts';

/** Options of `replay` by their names. */
export type ReplayOptions = Readonly<Record<string, unknown>>;

const BOUNDS = ['maxFalse', 'maxMissed', 'maxLate', 'minWarning'];

/**
 * Refuses options that would change nothing beside the others: whoever states a bound must not take silence for an answer.
 *
 * @throws {AppError} USAGE, naming them
 */
export function refuseIdleFlags(flags: ReplayOptions): void {
  const { bundle, settings, curve, suggest } = flags;
  if (bundle !== undefined && settings === undefined)
    refuse(
      flags,
      ['against', 'from', 'to', 'curve', 'suggest', 'save'],
      'a bundle that is reproduced; add --settings to ask it anew',
    );
  if (suggest !== undefined) refuse(flags, ['curve', 'against', 'save', ...BOUNDS], '--suggest');
  if (curve === true) refuse(flags, ['against', 'save', ...BOUNDS], '--curve');
}

function refuse(flags: ReplayOptions, names: readonly string[], beside: string): void {
  const found = names.filter((name) => flags[name] !== undefined && flags[name] !== false).map(flagOf);
  if (found.length > 0)
    throw new AppError(
      'USAGE',
      `found ${found.join(', ')}, which ${found.length > 1 ? 'change' : 'changes'} nothing beside ${beside}`,
    );
}

/** "--max-false" of "maxFalse". */
const flagOf = (name: string): string => `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
