import type { RequestHandler } from 'express';
import type { Endpoint } from '../endpoint.ts';
import { callerOf } from './caller.ts';
import { refuseBelow } from './refuse-below.ts';

/** Below these nothing is shown to who is not signed in, whether it exists or not. */
const CLOSED = /^\/(api|metrics)(\/|$)/i;

/** Lets nobody by who is not signed in, wherever no address says that it is for anyone. */
export function closedDoor(endpoints: readonly Endpoint[]): RequestHandler {
  const open = endpoints.filter(({ role }) => role === 'anyone').map(({ method, path }) => `${method} ${path}`);
  return (request, response, next) => {
    const method = request.method === 'HEAD' ? 'get' : request.method.toLowerCase();
    if (CLOSED.test(request.path) && !open.includes(`${method} ${request.path}`))
      refuseBelow('wall', callerOf(response));
    next();
  };
}
