import type { RequestHandler } from 'express';
import { secretHash } from '../../../collector/index.ts';
import { callerOf } from './caller.ts';
import { setCookie } from './cookies.ts';
import type { Desk } from './desk.ts';

/** How long a browser keeps a wall's link: the longest that RFC 6265bis, section 5.5, lets it. */
const KEPT_S = 400 * 86_400;

/**
 * `/wall/<secret>`: lets a wall screen in, and leads on to the wall. The secret goes into a cookie, so that it is not in
 * the address of what the screen then shows.
 *
 * @param refused shows what stands in place of a wall whose link does not hold
 */
export function wallEntry(desk: Desk | null, refused: RequestHandler): RequestHandler<{ secret: string }> {
  return (request, response, next) => {
    const { secure, by } = callerOf(response);
    response.set('Cache-Control', 'no-store');
    if (desk === null || by === 'local') {
      response.redirect(303, '/');
      return;
    }
    const { secret } = request.params;
    const token = secret.length > 128 ? null : desk.source.store.access.tokens.find(secretHash(secret));
    if (token?.kind !== 'wall') refused(request as never, response, next);
    else response.set('Set-Cookie', setCookie('driftline-wall', secret, secure, KEPT_S)).redirect(303, '/');
  };
}
