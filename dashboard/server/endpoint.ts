import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { RequestHandler } from 'express';
import type { z } from 'zod';
import type { HistoryAnswer } from '../../analyzer/index.ts';
import { AppError, type Code, type Role } from '../../collector/contract/index.ts';
import { auditCall } from './access/audit-call.ts';
import { AuditedChange } from './access/audited-change.ts';
import { type Caller, callerOf } from './access/caller.ts';
import type { Desk } from './access/desk.ts';
import { refuseBelow } from './access/refuse-below.ts';
import type { AnswerMemory } from './answer-memory.ts';
import type { AnswersAhead } from './answers-ahead.ts';
import type { Clock } from './clock.ts';
import { faults, plainText, RequestFault } from './problem.ts';
import { refuseLongSpan } from './security/query-span.ts';
import type { DashboardSources } from './sources.ts';

/** What every endpoint may use. */
export interface Context {
  readonly sources: DashboardSources;
  readonly clock: Clock;
  /** Changes whenever the screens change, so that an open page knows to load itself anew. */
  readonly build: string;
  readonly answers: AnswerMemory;
  /** Pasts of guns that are begun with their page. */
  readonly histories: AnswersAhead<HistoryAnswer>;
  /** Sign-in and accounts; null where none are kept. */
  readonly desk: Desk | null;
  /** Longest span of time that a query may ask for, days. */
  readonly maxQueryDays: number;
}

/** What a handler may use: all that every endpoint may, and who asks. */
export interface Call extends Context {
  /** Name of the signed-in person or program; `local` while no accounts are set up. */
  readonly who: string;
  /** The same with what they are known by, and where they came from. */
  readonly caller: Caller;
  /** For a handler that is asynchronous: what it writes, in one transaction with the entry of the audit trail. Others are as a whole. */
  readonly audited: <T>(write: () => T) => T;
}

export interface Reply<Answer> {
  readonly status: number;
  readonly body: Answer;
  readonly headers?: Readonly<Record<string, string | readonly string[]>>;
  /** False where a request that may change something did not. */
  readonly changed?: boolean;
}

export interface Asked<Query, Body, Params = unknown> {
  /** Parts of the path that start with a colon. */
  readonly params: Params;
  readonly query: Query;
  readonly body: Body;
  /** The request's bytes as they come, for an endpoint that takes `bytes`. */
  readonly bytes: Readable;
  readonly header: (name: string) => string | undefined;
}

/** One address of the API: what it takes, what it answers, how. OpenAPI and routes are both made from it. */
export interface Endpoint<Query = unknown, Body = unknown, Answer = unknown, Params = unknown> {
  readonly method: 'get' | 'post' | 'put' | 'delete';
  /** As Express writes it, e.g. `/api/things/:id`. */
  readonly path: string;
  readonly summary: string;
  /** The least role that may call it; `anyone` needs no sign-in. */
  readonly role: Role | 'anyone';
  readonly params?: z.ZodType<Params>;
  readonly query?: z.ZodType<Query>;
  readonly headers?: z.ZodObject;
  readonly body?: z.ZodType<Body>;
  /** True where the body is no JSON but bytes, which the handler takes as they come and bounds itself. */
  readonly bytes?: true;
  /** Every successful status with what it means. */
  readonly success: Readonly<Record<number, string>>;
  readonly answer: z.ZodType<Answer>;
  /** Media type of an answer that is text and no JSON, e.g. `text/csv`; `answer` is a string then. */
  readonly media?: string;
  /** Problems of its own, beside those that any address may answer with, any that takes a body or changes something. */
  readonly problems: readonly Code[];
  /** True where what it changes is written into the audit trail by itself, in words of its own. */
  readonly audits?: boolean;
  handle(call: Call, asked: Asked<Query, Body, Params>): Reply<Answer> | Promise<Reply<Answer>>;
}

/** Keeps the types of one endpoint together while it is written down. */
export function endpoint<Query, Body, Answer, Params>(definition: Endpoint<Query, Body, Answer, Params>): Endpoint {
  return definition as unknown as Endpoint;
}

/** Answers 200 with `body`. */
export function ok<Answer>(body: Answer): Reply<Answer> {
  return { status: 200, body };
}

/** Lets nobody below the endpoint's role further: comes before anything of the request's body is looked at. */
export function roleCheck({ role }: Endpoint): RequestHandler {
  return (_request, response, next) => {
    if (role !== 'anyone') refuseBelow(role, callerOf(response));
    next();
  };
}

/** Runs an endpoint for Express: checks path, query and body against its schemas, then answers. */
export function handlerOf(definition: Endpoint, context: Context): RequestHandler {
  return async (request, response) => {
    const caller = callerOf(response);
    const params = definition.params?.safeParse(request.params);
    if (params?.success === false) throw new AppError('NOT_FOUND', `nothing is at ${plainText(request.path)}`);
    const query = definition.query ? definition.query.safeParse(request.query) : noQuery(request.query);
    if (!query.success) {
      const found = faults(query.error, 'parameter', request.query, definition.query!);
      throw new RequestFault('QUERY_INVALID', sentence(found), found);
    }
    refuseLongSpan(query.data, context.maxQueryDays, context.clock.now());
    let body: unknown;
    if (definition.body) {
      const parsed = definition.body.safeParse(request.body);
      if (!parsed.success) {
        const found = faults(parsed.error, 'pointer', request.body, definition.body);
        throw new RequestFault('BODY_INVALID', sentence(found), found);
      }
      body = parsed.data;
    }
    const { desk, clock } = context;
    const trailed = desk !== null && definition.method !== 'get' && !definition.audits;
    const change = new AuditedChange(trailed ? desk.source.store : null, () =>
      auditCall(desk!.source.store.audit, caller, {
        method: definition.method,
        path: request.path,
        body,
        now: clock.now(),
      }),
    );
    const handle = (): Reply<unknown> | Promise<Reply<unknown>> =>
      definition.handle(
        { ...context, who: caller.who, caller, audited: (write) => change.make(write) },
        { params: params?.data, query: query.data, body, bytes: request, header: (name) => request.get(name) },
      );
    // What an asynchronous handler does after its first await would be in no transaction.
    const reply = await (isAsync(definition.handle)
      ? handle()
      : change.make(handle, (made) => !(made instanceof Promise) && made.changed !== false));
    if (reply.changed !== false) change.noted();
    response
      .status(reply.status)
      .set('Cache-Control', 'no-store')
      .set(reply.headers ?? {});
    // A fault on the way ends the connection: half a file must not look whole.
    if (reply.body instanceof Readable) await pipeline(reply.body, response);
    else if (definition.media === undefined) response.json(reply.body);
    else response.type(definition.media).send(reply.body);
  };
}

function isAsync(handle: Endpoint['handle']): boolean {
  return handle.constructor.name === 'AsyncFunction';
}

/** An endpoint without a query ignores nothing: a parameter it does not know is named. */
function noQuery(query: Record<string, unknown>): { success: true; data: undefined } {
  const unknown = Object.keys(query);
  if (unknown.length === 0) return { success: true, data: undefined };
  const found = unknown.map((name) => ({
    parameter: name,
    detail: `found the unknown parameter "${plainText(name)}", expected none`,
  }));
  throw new RequestFault('QUERY_INVALID', sentence(found), found);
}

function sentence(
  found: readonly { pointer?: string | undefined; parameter?: string | undefined; detail: string }[],
): string {
  return found
    .slice(0, 5)
    .map(({ pointer, parameter, detail }) => `${parameter ?? (pointer === '#' ? 'body' : pointer)}: ${detail}`)
    .join('; ');
}
