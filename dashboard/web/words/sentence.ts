/** A text as a sentence: its first letter large, a full stop at its end. */
export function asSentence(text: string): string {
  const trimmed = text.trim();
  const begun = trimmed.charAt(0).toLocaleUpperCase('en') + trimmed.slice(1);
  return begun === '' || /[.!?…]$/.test(begun) ? begun : `${begun}.`;
}
