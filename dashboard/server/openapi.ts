import { OpenAPIRegistry, OpenApiGeneratorV31, type RouteConfig } from '@asteasolutions/zod-to-openapi';
import { type Code, codes } from '../../collector/contract/index.ts';
import type { Endpoint } from './endpoint.ts';
import { Problem } from './problem.ts';

/** Problems that any address may answer with. */
const ANYWHERE: readonly Code[] = ['HOST_REFUSED', 'QUERY_INVALID', 'INTERNAL'];

/** Problems of every address that takes a body. */
const WITH_BODY: readonly Code[] = ['REQUEST_UNREADABLE', 'BODY_INVALID', 'BODY_TOO_LARGE', 'MEDIA_TYPE'];

/** Problems of every address that takes bytes. */
const WITH_BYTES: readonly Code[] = ['REQUEST_UNREADABLE', 'BODY_TOO_LARGE', 'MEDIA_TYPE'];

/** Problems of every address that may change something. */
const CHANGING: readonly Code[] = ['ORIGIN_REFUSED', 'TOO_MANY'];

/** Problems of every address that needs a role. */
const NOT_LET_IN: readonly Code[] = ['SIGN_IN_NEEDED', 'ROLE_TOO_LOW'];

/** The OpenAPI 3.1 document of these endpoints, made from the schemas that check and answer their requests. */
export function openApiDocument(endpoints: readonly Endpoint[]): object {
  const registry = new OpenAPIRegistry();
  for (const definition of endpoints) registry.registerPath(route(definition));
  registry.registerPath(EVENTS);
  registry.registerPath(METRICS);
  return new OpenApiGeneratorV31(registry.definitions).generateDocument({
    openapi: '3.1.0',
    info: {
      title: 'driftline',
      version: '1',
      description:
        'Which worn part of which spray gun to change, and when. Air is m3/h at 0 °C and 1013.25 hPa. Every error is application/problem+json (RFC 9457).',
    },
  });
}

const BYTES = { type: 'string', format: 'binary' } as const;

function route(definition: Endpoint): RouteConfig {
  const { method, path, summary, role, params, query, headers, body, bytes, success, answer, media, problems } =
    definition;
  const responses: RouteConfig['responses'] = {};
  for (const [status, description] of Object.entries(success))
    responses[status] = { description, content: { [media ?? 'application/json']: { schema: answer } } };
  const byStatus = groupByStatus([
    ...problems,
    ...(body ? WITH_BODY : bytes ? WITH_BYTES : []),
    ...(method === 'get' ? [] : CHANGING),
    ...(role === 'anyone' ? [] : NOT_LET_IN),
    ...ANYWHERE,
  ]);
  for (const [status, found] of byStatus)
    responses[status] = {
      description: found.map((code) => `${code}: ${codes[code].title}`).join('; '),
      content: { 'application/problem+json': { schema: Problem } },
    };
  return {
    method,
    path: path.replace(/:(\w+)/g, '{$1}'),
    summary,
    description: role === 'anyone' ? 'Needs no sign-in.' : `Least role: ${role}.`,
    request: {
      ...(params ? { params: params as never } : {}),
      ...(query ? { query: query as never } : {}),
      ...(headers ? { headers: headers as never } : {}),
      ...(bytes ? { body: { required: true, content: { 'application/octet-stream': { schema: BYTES } } } } : {}),
      ...(body ? { body: { required: true, content: { 'application/json': { schema: body } } } } : {}),
    },
    responses,
  };
}

const EVENTS: RouteConfig = {
  method: 'get',
  path: '/api/events',
  summary: 'Server-sent events: `wall` (the schema Wall) at once and on every change, `heartbeat` every 3 s',
  responses: {
    200: { description: 'The stream', content: { 'text/event-stream': { schema: { type: 'string' } } } },
    429: {
      description: `TOO_MANY: ${codes.TOO_MANY.title}`,
      content: { 'application/problem+json': { schema: Problem } },
    },
  },
};

const METRICS: RouteConfig = {
  method: 'get',
  path: '/metrics',
  summary: 'Counters in the Prometheus text format',
  responses: { 200: { description: 'Counters', content: { 'text/plain': { schema: { type: 'string' } } } } },
};

function groupByStatus(found: readonly Code[]): Map<number, Code[]> {
  const groups = new Map<number, Code[]>();
  for (const code of new Set(found)) {
    const { http } = codes[code];
    groups.set(http, [...(groups.get(http) ?? []), code]);
  }
  return groups;
}
