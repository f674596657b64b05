/** Fields whose values are never shown: what is secret itself, and addresses, in which people write passwords. */
const SECRET = /(password|secret|token|passphrase|privatekey|url)$/i;

/** What stands in a message in place of such a value. */
export const NOT_SHOWN = 'a value that is not shown';

/**
 * Whether a field of a configuration is one that messages must not show.
 *
 * @example
 * isSecretField(['externalBroker', 'password']); // true
 */
export function isSecretField(path: readonly PropertyKey[]): boolean {
  return path.some((step) => typeof step === 'string' && SECRET.test(step));
}
