import type { RequestHandler } from 'express';
import { rateLimit } from 'express-rate-limit';
import { AppError } from '../../../collector/contract/index.ts';

/**
 * Answered however many requests have come: who asks lets a service run on or ends it, and often comes from the
 * address of the proxy that all others come from.
 */
const SPARED: readonly string[] = ['/healthz', '/readyz'];

/** Lets so many requests of one address by in a minute; an IPv6 address counts with its neighbours in the same /56. */
export function requestRate(limit: number, what: string): RequestHandler {
  return rateLimit({
    windowMs: 60_000,
    limit,
    legacyHeaders: false,
    skip: ({ path }) => SPARED.includes(path),
    standardHeaders: 'draft-8',
    // Which proxies count is a matter of the configuration; a forged header is no news.
    validate: { xForwardedForHeader: false, forwardedHeader: false },
    handler() {
      throw new AppError('TOO_MANY', `more than ${limit} ${what} within a minute; wait a minute`);
    },
  });
}
