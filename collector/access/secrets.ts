import { createHash, timingSafeEqual } from 'node:crypto';

/** Length of a generated secret. Source: own choice, because 256 bits are twice what is asked of it and cost nothing. */
export const SECRET_BYTES = 32;

/** A secret as it is handed out, once: 43 characters of base64url (RFC 4648 section 5), and what is kept of it. */
export interface Secret {
  readonly text: string;
  readonly hash: Uint8Array;
}

/**
 * Makes a secret out of random bytes.
 *
 * @param random as many bytes as it is asked for, of a cryptographic source
 */
export function newSecret(random: (bytes: number) => Buffer): Secret {
  const text = random(SECRET_BYTES).toString('base64url');
  return { text, hash: secretHash(text) };
}

/** What is kept of a generated secret: SHA-256. It has too many bits to be found by trying, so it needs no slow hash. */
export function secretHash(text: string | Uint8Array): Uint8Array {
  return createHash('sha256').update(text).digest();
}

/** Whether two hashes are the same, in a time that does not tell how much of them is. */
export function sameHash(left: Uint8Array, right: Uint8Array): boolean {
  return left.length === right.length && timingSafeEqual(left, right);
}
