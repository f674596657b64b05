import type { RequestHandler } from 'express';
import type { z } from 'zod';
import type { Code } from '../../collector/contract/index.ts';
import type { AnswerMemory } from './answer-memory.ts';
import type { Clock } from './clock.ts';
import { faults, RequestFault } from './problem.ts';
import type { DashboardSources } from './sources.ts';

/** What every endpoint may use. */
export interface Context {
  readonly sources: DashboardSources;
  readonly clock: Clock;
  /** Changes whenever the screens change, so that an open page knows to load itself anew. */
  readonly build: string;
  readonly answers: AnswerMemory;
}

export interface Reply<Answer> {
  readonly status: number;
  readonly body: Answer;
  readonly headers?: Readonly<Record<string, string>>;
}

export interface Asked<Query, Body> {
  readonly query: Query;
  readonly body: Body;
  readonly header: (name: string) => string | undefined;
}

/** One address of the API: what it takes, what it answers, how. OpenAPI and routes are both made from it. */
export interface Endpoint<Query = unknown, Body = unknown, Answer = unknown> {
  readonly method: 'get' | 'post';
  readonly path: string;
  readonly summary: string;
  readonly query?: z.ZodType<Query>;
  readonly headers?: z.ZodObject;
  readonly body?: z.ZodType<Body>;
  /** Every successful status with what it means. */
  readonly success: Readonly<Record<number, string>>;
  readonly answer: z.ZodType<Answer>;
  /** Problems of its own, beside those that any address may answer with. */
  readonly problems: readonly Code[];
  handle(context: Context, asked: Asked<Query, Body>): Reply<Answer> | Promise<Reply<Answer>>;
}

/** Keeps the types of one endpoint together while it is written down. */
export function endpoint<Query, Body, Answer>(definition: Endpoint<Query, Body, Answer>): Endpoint {
  return definition as unknown as Endpoint;
}

/** Answers 200 with `body`. */
export function ok<Answer>(body: Answer): Reply<Answer> {
  return { status: 200, body };
}

/** So that a refusal can say what was found. */
const REPORTED = { reportInput: true };

/** Runs an endpoint for Express: checks query and body against its schemas, then answers. */
export function handlerOf(definition: Endpoint, context: Context): RequestHandler {
  return async (request, response) => {
    const query = definition.query ? definition.query.safeParse(request.query, REPORTED) : noQuery(request.query);
    if (!query.success) {
      const found = faults(query.error, 'parameter');
      throw new RequestFault('QUERY_INVALID', sentence(found), found);
    }
    let body: unknown;
    if (definition.body) {
      const parsed = definition.body.safeParse(request.body, REPORTED);
      if (!parsed.success) {
        const found = faults(parsed.error, 'pointer');
        throw new RequestFault('BODY_INVALID', sentence(found), found);
      }
      body = parsed.data;
    }
    const reply = await definition.handle(context, { query: query.data, body, header: (name) => request.get(name) });
    response
      .status(reply.status)
      .set(reply.headers ?? {})
      .set('Cache-Control', 'no-store')
      .json(reply.body);
  };
}

/** An endpoint without a query ignores nothing: a parameter it does not know is named. */
function noQuery(query: Record<string, unknown>): { success: true; data: undefined } {
  const unknown = Object.keys(query);
  if (unknown.length === 0) return { success: true, data: undefined };
  const found = unknown.map((name) => ({ parameter: name, detail: `unknown parameter "${name}"` }));
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
