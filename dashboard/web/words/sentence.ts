/** A text as a sentence: its first letter large, a full stop at its end. */
export function asSentence(text: string): string {
  const trimmed = text.trim();
  const begun = trimmed.charAt(0).toLocaleUpperCase('en') + trimmed.slice(1);
  return begun === '' || /[.!?…]$/.test(begun) ? begun : `${begun}.`;
}

/** Numbers and their units in a sentence of the service, kept on one line: "10 %", "6 h". */
export function unbroken(sentence: string): string {
  return sentence.replace(/(?<=\d) (?=(%|h|s|min|bar|psi)(?![\w/]))/g, '\u202f');
}
