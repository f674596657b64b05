import { expect, test } from 'vitest';
import { z } from 'zod';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { OperationConfig } from '../../../collector/index.ts';
import { OpenStreams } from '../../../dashboard/server/access/open-streams.ts';
import { AnswerMemory } from '../../../dashboard/server/answer-memory.ts';
import { AnswersAhead } from '../../../dashboard/server/answers-ahead.ts';
import { createApp } from '../../../dashboard/server/app.ts';
import { WallEvents } from '../../../dashboard/server/events/wall-events.ts';
import { readPages } from '../../../dashboard/server/pages.ts';
import { RefusalLog } from '../../../dashboard/server/security/refusal-log.ts';
import { hall } from '../hall.ts';
import { NOON } from '../hall-guns.ts';
import { manualClock } from '../manual-clock.ts';
import { openHall, pageFolder } from '../open-hall.ts';

interface Answer {
  readonly content?: Record<string, { readonly schema: object }>;
}
interface Document {
  readonly openapi: string;
  readonly paths: Record<string, Record<string, { readonly responses: Record<string, Answer> }>>;
  readonly components: { readonly schemas: Record<string, object> };
}

/** Checks a value against a JSON Schema of the document, references included, by another way than the one that made it. */
function check(document: Document, schema: object, value: unknown): void {
  const moved = JSON.stringify({ ...schema, $defs: document.components.schemas }).replaceAll(
    '#/components/schemas/',
    '#/$defs/',
  );
  z.fromJSONSchema(JSON.parse(moved)).parse(value);
}

const BODIES: Record<string, unknown> = {
  '/api/log': { gun: 'gun-01', part: 'nozzle', action: 'inspected', note: 'ok' },
};

test('every address of the document answers as the document says', async () => {
  const { get, post } = await openHall();
  const document = (await get('/api/openapi.json')).body as Document;
  expect(document.openapi).toBe('3.1.0');
  let checked = 0;
  await post('/api/log', BODIES['/api/log']);
  for (const [path, methods] of Object.entries(document.paths)) {
    for (const [method, { responses }] of Object.entries(methods)) {
      if (path === '/api/events') continue;
      const address = path.replace(/\{\w+\}/g, '1');
      const { status, type, body } =
        method === 'get' ? await get(address) : await post(address, BODIES[path] ?? {}, {}, method.toUpperCase());
      const content = responses[status]?.content ?? {};
      const said = Object.keys(content).find((kind) => type.startsWith(kind));
      expect(said, `${method} ${path} answered ${status} ${type}`).toBeDefined();
      check(document, content[said as string]?.schema as object, body);
      checked += 1;
    }
  }
  expect(checked).toBeGreaterThan(12);
});

test('a schema of the document refuses an answer of another shape', async () => {
  const { get } = await openHall();
  const document = (await get('/api/openapi.json')).body as Document;
  const schema = document.paths['/api/guns']?.get?.responses['200']?.content?.['application/json']?.schema as object;
  expect(() => check(document, schema, [{ id: 'gun-01' }])).toThrow();
});

test('a problem is answered as the document says', async () => {
  const { get, post } = await openHall();
  const document = (await get('/api/openapi.json')).body as Document;
  const { status, body } = await post('/api/log', { gun: 'gun-99', part: 'nozzle', action: 'inspected' });
  const schema = document.paths['/api/log']?.post?.responses[status]?.content?.['application/problem+json']?.schema;
  check(document, schema as object, body);
});

test('every route of the server that is no page stands in the document, and no other', async () => {
  const clock = manualClock(NOON);
  const pages = readPages(pageFolder());
  const context = {
    sources: hall().sources,
    clock,
    build: pages.build,
    answers: new AnswerMemory(),
    histories: new AnswersAhead<HistoryAnswer>(),
    desk: null,
    maxQueryDays: 1,
  };
  const app = createApp(context, new WallEvents(context), {
    bound: '127.0.0.1',
    allowedHosts: [],
    pages,
    http: OperationConfig.parse({}).http,
    refusals: new RefusalLog(() => undefined, clock),
    streams: new OpenStreams(null, clock),
    onFault: (fault) => {
      throw fault;
    },
  });
  const served = app.router.stack.flatMap(({ route }) =>
    route ? route.stack.map(({ method }) => `${method} ${route.path.replace(/:(\w+)/g, '{$1}')}`) : [],
  );
  const { get } = await openHall();
  const document = (await get('/api/openapi.json')).body as Document;
  const said = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map((m) => `${m} ${path}`),
  );
  const api = [...new Set(served)].filter(
    (route) => /^\w+ \/(api|healthz|readyz|metrics)/.test(route) && !route.endsWith('openapi.json'),
  );
  expect(api.sort()).toEqual(said.sort());
});
