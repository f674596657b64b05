import { powderWord } from './powder-word.ts';

const BEFORE = 'all guns with ';
const AFTER = ' give ';

/** Evidence that a lot is bad, e.g. "all guns with p-white-07 give 6 % less …". The powder stands by its id: findings do not follow from names. */
export function lotWords(powder: string, less: string): string {
  return `${BEFORE}${powder}${AFTER}${less} less for the same air since the same time: the powder or its lot, no part`;
}

/** A sentence of a finding as people read it: the powder that it is about by its name. Any other sentence stays as it is. */
export function withPowderNamed(
  sentence: string,
  powders: readonly { readonly id: string; readonly name?: string | undefined }[],
): string {
  const end = sentence.lastIndexOf(AFTER);
  if (!sentence.startsWith(BEFORE) || end < BEFORE.length) return sentence;
  return `${BEFORE}${powderWord(sentence.slice(BEFORE.length, end), powders)}${sentence.slice(end)}`;
}
