import type { Response } from 'express';
import { AppError, type Role } from '../../../collector/contract/index.ts';

/** Who sends a request, and what they may do. */
export interface Caller {
  /** Name of the person or program. */
  readonly who: string;
  /** Null: nobody that is known. */
  readonly role: Role | null;
  /** What they are known by; `local` while no accounts are set up. */
  readonly by: 'local' | 'nobody' | 'session' | 'token' | 'wall';
  /** Of the person, and of the session; null for who has none. */
  readonly person: number | null;
  readonly session: number | null;
  /** Address that the request came from. */
  readonly address: string;
  /** It came over TLS. */
  readonly secure: boolean;
}

/** Whoever sits at this machine, while no accounts are set up: only loopback is listened on then. */
export const LOCAL = { who: 'local', role: 'administrator', by: 'local', person: null, session: null } as const;
/** Who is not signed in. */
export const NOBODY = { who: 'nobody', role: null, by: 'nobody', person: null, session: null } as const;

const CALLER = 'caller';

/** Says who sends the request that this response answers. */
export function setCaller(response: Response, caller: Caller): void {
  response.locals[CALLER] = caller;
}

/**
 * Who sends the request that this response answers.
 *
 * @throws {AppError} INTERNAL where nobody looked who it is: then nobody is let on
 */
export function callerOf(response: Response): Caller {
  const caller = response.locals[CALLER] as Caller | undefined;
  if (caller === undefined) throw new AppError('INTERNAL', 'a request came by without the check who sends it');
  return caller;
}
