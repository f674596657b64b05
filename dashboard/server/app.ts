import compression from 'compression';
import express, { type Express } from 'express';
import { rateLimit } from 'express-rate-limit';
import { AppError } from '../../collector/contract/index.ts';
import { LOCAL, setCaller } from './access/caller.ts';
import { type Context, type Endpoint, handlerOf } from './endpoint.ts';
import { findings } from './endpoints/findings.ts';
import { guns } from './endpoints/guns.ts';
import { health, ready } from './endpoints/health.ts';
import { jobs, views } from './endpoints/jobs.ts';
import { addToLog, readLog } from './endpoints/log.ts';
import { problems } from './endpoints/problems.ts';
import { quarantine } from './endpoints/quarantine.ts';
import { latestReadings } from './endpoints/readings.ts';
import { site } from './endpoints/site.ts';
import { wall } from './endpoints/wall.ts';
import { errorAnswer } from './error-answer.ts';
import type { WallEvents } from './events/wall-events.ts';
import { Metrics } from './metrics.ts';
import { openApiDocument } from './openapi.ts';
import { type Pages, servePages } from './pages.ts';
import { securityHeaders } from './security/headers.ts';
import { hostCheck } from './security/host-check.ts';
import { originCheck } from './security/origin-check.ts';

const ENDPOINTS: readonly Endpoint[] = [
  findings,
  guns,
  jobs,
  views,
  latestReadings,
  readLog,
  addToLog,
  quarantine,
  site,
  wall,
  problems,
  health,
  ready,
];

/** Source: own choice, because a note of 2000 characters is 8 kB at most and nothing else is long. */
const BODY_LIMIT_BYTES = 64 * 1024;
/** Source: own choice, because people write by hand and a script that fills in a week's entries still passes. */
const POSTS_PER_MINUTE = 300;

export interface AppOptions {
  readonly bound: string;
  readonly allowedHosts: readonly string[];
  readonly pages: Pages;
  /** Told of faults of our own, which are answered without their inside. */
  readonly onFault: (error: unknown) => void;
}

/** The whole HTTP side as an Express application. */
export function createApp(context: Context, events: WallEvents, options: AppOptions): Express {
  const app = express();
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.set('etag', false);
  app.use(securityHeaders());
  app.use(hostCheck(options.bound, options.allowedHosts));
  app.use(originCheck);
  app.use((_request, response, next) => {
    setCaller(response, LOCAL);
    next();
  });

  // Before compression: a stream must leave at once, not when a block is full.
  app.get('/api/events', (_request, response) => events.hub.join(response, events.wallText()));
  app.use(compression());

  for (const definition of ENDPOINTS) {
    const before = definition.body ? bodyReaders() : [];
    app[definition.method](definition.path, ...before, handlerOf(definition, context));
  }
  const document = openApiDocument(ENDPOINTS);
  app.get('/api/openapi.json', (_request, response) => {
    response.json(document);
  });
  const metrics = new Metrics(context.sources, events.hub);
  app.get('/metrics', async (_request, response) => {
    response.type(metrics.contentType).send(await metrics.text());
  });
  servePages(app, options.pages);

  app.use((request) => {
    const known = [...ENDPOINTS.map(({ path }) => path), '/api/events', '/api/openapi.json', '/metrics'];
    if (known.includes(request.path))
      throw new AppError('METHOD_UNKNOWN', `${request.path} does not take ${request.method}`);
    throw new AppError('NOT_FOUND', `nothing is at ${request.path}`);
  });
  app.use(errorAnswer(options.onFault));
  return app;
}

/** Takes a JSON body of a bounded size, so many a minute. */
function bodyReaders(): express.RequestHandler[] {
  return [
    rateLimit({
      windowMs: 60_000,
      limit: POSTS_PER_MINUTE,
      legacyHeaders: false,
      standardHeaders: 'draft-8',
      handler() {
        throw new AppError('TOO_MANY', `more than ${POSTS_PER_MINUTE} entries within a minute; wait a minute`);
      },
    }),
    (request, _response, next) => {
      if (!request.is('application/json'))
        throw new AppError(
          'MEDIA_TYPE',
          `the body is "${request.get('Content-Type') ?? 'of no stated type'}"; expected application/json`,
        );
      next();
    },
    express.json({ limit: BODY_LIMIT_BYTES, strict: true }),
  ];
}
