/** A powder as people say it: by the name in the plant file; its id too where another powder has the same name, and alone where it has none. */
export function powderWord(
  powder: string,
  powders: readonly { readonly id: string; readonly name?: string | undefined }[],
): string {
  const name = powders.find(({ id }) => id === powder)?.name;
  if (name === undefined) return powder;
  return powders.some((other) => other.name === name && other.id !== powder) ? `${name} (${powder})` : name;
}
