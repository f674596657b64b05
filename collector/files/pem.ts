import { createPrivateKey, X509Certificate } from 'node:crypto';
import { createSecureContext, type SecureContextOptions } from 'node:tls';
import { AppError } from '../contract/errors.ts';
import { printable } from '../contract/printable.ts';

/** A file that the configuration names, with the key that names it. */
export interface NamedFile {
  /** Path in the configuration, e.g. `tls.key`. */
  readonly field: string;
  readonly file: string;
  readonly bytes: Buffer;
}

/**
 * The first certificate of a PEM file.
 *
 * @throws {AppError} CONFIG_INVALID where there is none
 */
export function firstCertificate(named: NamedFile): X509Certificate {
  const none = 'found no certificate, expected one or more in PEM';
  // Node takes DER here, and refuses it where it is used.
  if (!named.bytes.includes('-----BEGIN')) throw pemFault(named, none);
  try {
    return new X509Certificate(named.bytes);
  } catch (error) {
    throw pemFault(named, none, error);
  }
}

/**
 * What a certificate and its private key make together.
 *
 * TLS 1.2 is the least: RFC 8996 retires what came before.
 *
 * @throws {AppError} CONFIG_INVALID: no PEM, a key that needs a passphrase or belongs to another certificate
 */
export function certificateWithKey(certificate: NamedFile, key: NamedFile): SecureContextOptions {
  const first = firstCertificate(certificate);
  const text = key.bytes.toString('latin1');
  if (!/-----BEGIN ([A-Z]+ )?PRIVATE KEY-----/.test(text))
    throw pemFault(key, 'found no private key, expected one in PEM without a passphrase');
  if (/ENCRYPTED/.test(text)) throw pemFault(key, 'found a key with a passphrase, expected one without');
  const foreign = (why: string, error?: unknown): AppError =>
    pemFault(
      key,
      `found a key that cannot be used with ${printable(certificate.file, 200)} (${why}), expected the one of that certificate`,
      error,
    );
  const context: SecureContextOptions = { cert: certificate.bytes, key: key.bytes, minVersion: 'TLSv1.2' };
  try {
    createSecureContext(context);
    // OpenSSL lets them pass where certificate and key are of two kinds, and then agrees with nobody.
    if (first.checkPrivateKey(createPrivateKey(key.bytes))) return context;
  } catch (error) {
    throw foreign((error as Error).message, error);
  }
  throw foreign('it is of another one');
}

/** A fault of such a file: where, then what was found and expected. */
export function pemFault({ field, file }: Omit<NamedFile, 'bytes'>, said: string, cause?: unknown): AppError {
  return new AppError('CONFIG_INVALID', `${field}: ${printable(file, 200)}: ${said}`, { cause });
}
