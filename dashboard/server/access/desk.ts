import type { IncomingHttpHeaders } from 'node:http';
import type { RequestHandler } from 'express';
import { AppError } from '../../../collector/contract/index.ts';
import type { Actor, BookTools } from '../../../collector/index.ts';
import type { AccessSource } from './access-source.ts';
import { type Caller, LOCAL, NOBODY, setCaller } from './caller.ts';
import { identify } from './identify.ts';
import { SignIn } from './sign-in.ts';

/** Where everybody who comes in is looked at. */
export class Desk {
  readonly source: AccessSource;
  readonly signIn: SignIn;

  constructor(source: AccessSource) {
    this.source = source;
    this.signIn = new SignIn(source);
  }

  get tools(): BookTools {
    return { store: this.source.store, random: (bytes) => this.source.random(bytes) };
  }

  identify(
    headers: IncomingHttpHeaders,
    { address, secure }: { readonly address: string; readonly secure: boolean },
    now: number,
  ): Caller {
    // Named one by one: whoever asks with more, e.g. an earlier caller, must not bring their role along.
    const from = { address, secure };
    if (!this.source.required()) return { ...LOCAL, ...from };
    return identify(this.source.store.access, headers, from, now);
  }

  /**
   * The first account is an administrator's: everybody else would lock the door behind themselves.
   *
   * @throws {AppError} ACCOUNT_INVALID
   */
  refuseBeforeAdministrator(): void {
    if (!this.source.required())
      throw new AppError('ACCOUNT_INVALID', 'no accounts are set up yet; the first one has to be an administrator’s');
  }
}

/** Finds out who sends each request; without a desk, and while no accounts are set up, it is whoever sits here. */
export function callerCheck(desk: Desk | null, now: () => number): RequestHandler {
  return (request, response, next) => {
    const from = { address: request.ip ?? '', secure: request.secure };
    const { headers } = request;
    const linked = desk === null || headers.authorization !== undefined ? null : feedToken(request.path, request.query);
    if (desk === null) setCaller(response, { ...LOCAL, ...from });
    else if (linked === null) setCaller(response, desk.identify(headers, from, now()));
    else {
      const caller = desk.identify({ authorization: `Bearer ${linked}` }, from, now());
      // An address is written down in many places: only the token that may do least stands in one.
      setCaller(response, caller.role === 'wall' || caller.by === LOCAL.by ? caller : { ...NOBODY, ...from });
    }
    next();
  };
}

/** The token in the address of the calendar, where there is one: programs that subscribe to calendars send no header with it. */
function feedToken(path: string, query: Readonly<Record<string, unknown>>): string | null {
  return path === '/api/plan.ics' && typeof query.token === 'string' ? query.token : null;
}

/** Who acts, for the audit trail. */
export function actorOf({ who, address }: Caller, now: number): Actor {
  return { who, origin: address, now };
}
