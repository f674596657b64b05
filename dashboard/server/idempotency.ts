import { z } from 'zod';
import { RequestFault } from './problem.ts';

/** Header of requests that must not count twice when they are sent again. */
export const IDEMPOTENCY = z.object({
  'Idempotency-Key': z
    .string()
    .optional()
    .meta({ description: '1 to 200 visible ASCII characters; the same key again gets the first answer' }),
});

const KEY = /^[\x21-\x7e]{1,200}$/;

/** @throws {RequestFault} BODY_INVALID for a key that is none */
export function keyOf(header: (name: string) => string | undefined): string | undefined {
  const key = header('Idempotency-Key');
  if (key !== undefined && !KEY.test(key))
    throw new RequestFault('BODY_INVALID', 'Idempotency-Key: expected 1 to 200 visible ASCII characters', []);
  return key;
}
