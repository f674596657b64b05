/** Longest Cookie header that is looked at. Source: own choice, because ours are 50 bytes each. */
const LONGEST = 4096;

/** Cookies of ours: of a person's session, and of a wall's link. */
export type CookieName = 'driftline' | 'driftline-wall';

/** Under TLS the name binds a cookie to this host and to TLS (RFC 6265bis, section 4.1.3.2). */
const nameOf = (name: CookieName, secure: boolean): string => (secure ? `__Host-${name}` : name);

/** Value of a cookie in a Cookie header; null where it is not there, or there twice with different values. */
export function cookieIn(header: string | undefined, name: CookieName, secure: boolean): string | null {
  if (header === undefined || header.length > LONGEST) return null;
  const prefix = `${nameOf(name, secure)}=`;
  const values = new Set(
    header
      .split(';')
      .map((pair) => pair.trim())
      .filter((pair) => pair.startsWith(prefix))
      .map((pair) => pair.slice(prefix.length)),
  );
  return values.size === 1 ? ([...values][0] ?? null) : null;
}

/** A Set-Cookie header: scripts cannot read it, and other sites' pages cannot send it along. */
export function setCookie(name: CookieName, value: string, secure: boolean, maxAgeS: number): string {
  const parts = [`${nameOf(name, secure)}=${value}`, 'Path=/', 'HttpOnly', 'SameSite=Strict', `Max-Age=${maxAgeS}`];
  return [...parts, ...(secure ? ['Secure'] : [])].join('; ');
}

/** A Set-Cookie header that takes a cookie away. */
export function dropCookie(name: CookieName, secure: boolean): string {
  return setCookie(name, '', secure, 0);
}
