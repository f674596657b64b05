import { counted } from '../contract/counted.ts';
import type { Log } from '../log.ts';
import type { Tls } from './access-config.ts';
import { readTls, refuseUnlessHolds, type TlsFiles } from './tls-files.ts';

const DAY_MS = 86_400_000;
/** How long before it runs out a certificate is told of. Source: own choice: most are made anew a month before. */
const WARN_MS = 30 * DAY_MS;

/** The certificate that a service uses. Of one that runs out it tells once a day: stations publish unattended, and all of them stop on the same day. */
export interface CertificateInUse {
  /** As it was read at first; null where the configuration names none. */
  readonly first: TlsFiles | null;
  /**
   * Reads it anew.
   *
   * @throws {AppError} CONFIG_INVALID, see `readTls`, or a certificate that does not hold now in the place of one that does: the one before stays in use
   */
  renew(): Promise<TlsFiles | null>;
  stop(): void;
}

/**
 * Reads certificate and key, and looks at once and then daily whether they run out.
 *
 * @param now wall clock, epoch ms
 * @throws {AppError} CONFIG_INVALID, see `readTls`
 */
export async function useCertificate(tls: Tls, now: () => number, log: Log): Promise<CertificateInUse> {
  const first = await readTls(tls);
  let inUse = first;
  const look = (): void => {
    const sentence = inUse === null ? null : troubleOf(inUse, now());
    if (sentence !== null) log.warn({ validTo: new Date(inUse!.validTo).toISOString() }, sentence);
  };
  look();
  const timer = setInterval(look, DAY_MS);
  return {
    first,
    renew: async () => {
      const read = await readTls(tls);
      if (read !== null && inUse !== null && holds(inUse, now())) refuseUnlessHolds(read, tls, now());
      inUse = read;
      if (inUse !== null) log.info({ validTo: new Date(inUse.validTo).toISOString() }, 'certificate read anew');
      look();
      return inUse;
    },
    stop: () => clearInterval(timer),
  };
}

/** When a certificate holds, epoch ms. */
type Validity = Pick<TlsFiles, 'validFrom' | 'validTo'>;

const holds = ({ validFrom, validTo }: Validity, now: number): boolean => validFrom <= now && now < validTo;

/**
 * What there is to say of a certificate that runs out within a month, or does not hold; null of one that holds for longer.
 *
 * @param now epoch ms
 */
export function troubleOf({ validFrom, validTo }: Validity, now: number): string | null {
  const renew = 'renew it, and "kill -HUP" has it read';
  if (validFrom > now)
    return `the certificate holds from ${new Date(validFrom).toISOString()} on: stations and browsers refuse it until then; set this machine's clock, or ${renew}`;
  if (validTo - now > WARN_MS) return null;
  if (validTo <= now) return `the certificate has run out: stations and browsers refuse it; ${renew}`;
  const days = Math.floor((validTo - now) / DAY_MS);
  const left = days === 0 ? 'today or tomorrow' : `in ${counted(days, 'day')}`;
  return `the certificate runs out ${left}: stations and browsers will refuse it then; ${renew}`;
}
