import { scrypt, timingSafeEqual } from 'node:crypto';
import { AppError } from '../../../collector/contract/index.ts';

/** Cost of one password: 128 MiB and a second or so. Source: OWASP Password Storage Cheat Sheet, scrypt, its first choice. */
const COST = { N: 2 ** 17, r: 8, p: 1, maxmem: 256 * 1024 * 1024 } as const;
const SALT_BYTES = 16;
const KEY_BYTES = 32;

/** Shortest and longest password, characters. Source: own choice, above the 8 and 64 that NIST SP 800-63B (2017), section 5.1.1.2, asks for at least. */
const SHORTEST = 10;
const LONGEST = 256;

/**
 * Says what is wrong with a new password; null where it may be used. What it is made of is left to its owner, as
 * NIST SP 800-63B, section 5.1.1.2, recommends; only what is guessed first is refused.
 */
export function passwordFault(password: string, name: string): string | null {
  const length = [...password].length;
  if (length < SHORTEST) return `found ${length} characters, expected ${SHORTEST} or more`;
  if (length > LONGEST) return `found ${length} characters, expected at most ${LONGEST}`;
  const plain = password.toLowerCase();
  if (new Set(plain).size < 4) return 'found hardly more than one character over and over, expected others';
  if (plain.replace(/[^a-z]/g, '') === 'driftline' || plain.includes(name.toLowerCase()))
    return 'found the name of the person or of the program in it, expected neither';
  return null;
}

/**
 * What is kept of a password: `scrypt$N$r$p$salt$key`, base64url.
 *
 * @param salt 16 bytes of a cryptographic source
 */
export async function passwordRecord(password: string, salt: Buffer): Promise<string> {
  if (salt.length !== SALT_BYTES) throw new AppError('INTERNAL', `a salt has ${SALT_BYTES} bytes, not ${salt.length}`);
  const key = await derive(password, salt);
  return ['scrypt', COST.N, COST.r, COST.p, salt.toString('base64url'), key.toString('base64url')].join('$');
}

/** Takes as long as a password that is there. */
const NOBODYS = ['scrypt', COST.N, COST.r, COST.p, '', Buffer.alloc(KEY_BYTES).toString('base64url')].join('$');

/** Whether a password is the one recorded; with null it takes as long and is never. */
export async function passwordMatches(password: string, record: string | null): Promise<boolean> {
  const [kind, n, r, p, salt, key] = (record ?? NOBODYS).split('$');
  if (kind !== 'scrypt' || Number(n) !== COST.N || Number(r) !== COST.r || Number(p) !== COST.p)
    throw new AppError('INTERNAL', 'a password record is of a kind that this version does not know');
  const wanted = Buffer.from(key ?? '', 'base64url');
  const found = await derive(password, Buffer.from(salt ?? '', 'base64url'));
  const same = wanted.length === found.length && timingSafeEqual(wanted, found);
  return same && record !== null;
}

/** Unicode's many spellings of a letter count as one (NFKC, as NIST SP 800-63B asks). */
function derive(password: string, salt: Buffer): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(password.normalize('NFKC'), salt, KEY_BYTES, COST, (error, key) => (error ? reject(error) : resolve(key)));
  });
}
