const WORDS: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'nobody listens there',
  ECONNRESET: 'the connection broke',
  EPIPE: 'the connection broke',
  ETIMEDOUT: 'nothing answers there',
  EHOSTUNREACH: 'no way leads there',
  ENETUNREACH: 'no way leads there',
  ENOTFOUND: 'its name is unknown',
  EAI_AGAIN: 'its name cannot be looked up now',
  CERT_HAS_EXPIRED: 'its certificate has expired',
  DEPTH_ZERO_SELF_SIGNED_CERT:
    'its certificate is signed by itself and not among those of caFile, or without it the system’s',
  SELF_SIGNED_CERT_IN_CHAIN:
    'its certificate is signed by one that is not among those of caFile, or without it the system’s',
  UNABLE_TO_VERIFY_LEAF_SIGNATURE:
    'its certificate is signed by one that is not among those of caFile, or without it the system’s',
  UNABLE_TO_GET_ISSUER_CERT_LOCALLY:
    'its certificate is signed by one that is not among those of caFile, or without it the system’s',
  ERR_SSL_TLSV13_ALERT_CERTIFICATE_REQUIRED: 'it asks for a certificate of ours: certFile and keyFile',
  ERR_SSL_SSLV3_ALERT_HANDSHAKE_FAILURE: 'it agrees on no TLS with us, or asks for a certificate of ours',
  ERR_SSL_TLSV1_ALERT_UNKNOWN_CA: 'it does not know the authority of our certificate',
  ERR_SSL_SSLV3_ALERT_CERTIFICATE_EXPIRED: 'our certificate has expired',
  ERR_SSL_SSLV3_ALERT_CERTIFICATE_REVOKED: 'our certificate has been revoked',
  ERR_SSL_SSLV3_ALERT_UNSUPPORTED_CERTIFICATE: 'our certificate is not made for clients (its extended key usage)',
  ERR_SSL_SSLV3_ALERT_BAD_CERTIFICATE: 'it refuses our certificate',
  ERR_SSL_SSLV3_ALERT_CERTIFICATE_UNKNOWN: 'it refuses our certificate',
  CERT_NOT_YET_VALID: 'its certificate does not hold yet, or this machine’s clock is behind',
  ERR_SSL_WRONG_VERSION_NUMBER: 'no TLS is spoken there',
  ERR_TLS_CERT_ALTNAME_INVALID: 'its certificate is for another name',
};

/**
 * Why a connection is not there, in words, with the system's own code.
 *
 * @example
 * faultWords({ code: 'ECONNREFUSED', message: '' }); // 'nobody listens there (ECONNREFUSED)'
 * faultWords({ code: 'CERT_NOT_YET_VALID', message: '' }); // 'its certificate does not hold yet, or this machine’s clock is behind (CERT_NOT_YET_VALID)'
 */
export function faultWords({
  code,
  message,
}: {
  readonly code?: string | undefined;
  readonly message: string;
}): string {
  if (code === undefined) return message;
  const words = WORDS[code];
  return words === undefined ? code : `${words} (${code})`;
}
