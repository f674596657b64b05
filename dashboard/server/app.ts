import compression from 'compression';
import express, { type Express } from 'express';
import { AppError } from '../../collector/contract/index.ts';
import type { OperationConfig } from '../../collector/index.ts';
import { ACCESS_ENDPOINTS } from './access/access-endpoints.ts';
import { callerOf } from './access/caller.ts';
import { closedDoor } from './access/closed-door.ts';
import { callerCheck } from './access/desk.ts';
import type { OpenStreams } from './access/open-streams.ts';
import { wallEntry } from './access/wall-entry.ts';
import { type Context, type Endpoint, handlerOf, roleCheck } from './endpoint.ts';
import { BASELINE_ENDPOINTS } from './endpoints/baselines.ts';
import { EXPORT_ENDPOINTS } from './endpoints/exports.ts';
import { findings } from './endpoints/findings.ts';
import { guns } from './endpoints/guns.ts';
import { health, ready } from './endpoints/health.ts';
import { beginHistory, HISTORY_ENDPOINTS } from './endpoints/history.ts';
import { IMPORT_ENDPOINTS } from './endpoints/imports.ts';
import { addToLog, readLog } from './endpoints/log.ts';
import { missingRuns } from './endpoints/missing-runs.ts';
import { problems } from './endpoints/problems.ts';
import { PROMISE_ENDPOINTS } from './endpoints/promise.ts';
import { quarantine } from './endpoints/quarantine.ts';
import { latestReadings } from './endpoints/readings.ts';
import { sight } from './endpoints/sight.ts';
import { SILENT_CHANGE_ENDPOINTS } from './endpoints/silent-changes.ts';
import { site } from './endpoints/site.ts';
import { status } from './endpoints/status.ts';
import { TUNING_ENDPOINTS } from './endpoints/tuning-endpoints.ts';
import { views } from './endpoints/views.ts';
import { wall } from './endpoints/wall.ts';
import { errorAnswer } from './error-answer.ts';
import type { WallEvents } from './events/wall-events.ts';
import { Metrics } from './metrics.ts';
import { openApiDocument } from './openapi.ts';
import { mayHaveAnswers, type Pages, searchOf, sendPage, servePages } from './pages.ts';
import { securityHeaders } from './security/headers.ts';
import { hostCheck } from './security/host-check.ts';
import { originCheck } from './security/origin-check.ts';
import type { RefusalLog } from './security/refusal-log.ts';
import { requestRate } from './security/request-rates.ts';
import { SHOP_ENDPOINTS } from './shop/shop-endpoints.ts';
import { UPKEEP_ENDPOINTS } from './upkeep/upkeep-endpoints.ts';

const ENDPOINTS: readonly Endpoint[] = [
  findings,
  guns,
  sight,
  missingRuns,
  views,
  latestReadings,
  readLog,
  addToLog,
  ...SHOP_ENDPOINTS,
  ...UPKEEP_ENDPOINTS,
  quarantine,
  site,
  status,
  wall,
  problems,
  health,
  ready,
  ...ACCESS_ENDPOINTS,
  ...TUNING_ENDPOINTS,
  ...PROMISE_ENDPOINTS,
  ...HISTORY_ENDPOINTS,
  ...BASELINE_ENDPOINTS,
  ...SILENT_CHANGE_ENDPOINTS,
  ...IMPORT_ENDPOINTS,
  ...EXPORT_ENDPOINTS,
];

export interface AppOptions {
  readonly bound: string;
  readonly allowedHosts: readonly string[];
  readonly pages: Pages;
  readonly http: OperationConfig['http'];
  readonly refusals: RefusalLog;
  readonly streams: OpenStreams;
  /** Told of faults of our own, which are answered without their inside. */
  readonly onFault: (error: unknown) => void;
}

/** The whole HTTP side as an Express application. */
export function createApp(context: Context, events: WallEvents, options: AppOptions): Express {
  const app = express();
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.set('etag', false);
  if (options.http.trustedProxies.length > 0) app.set('trust proxy', options.http.trustedProxies);
  app.use(securityHeaders());
  app.use(hostCheck(options.bound, options.allowedHosts));
  app.use(originCheck);
  app.use(callerCheck(context.desk, () => context.clock.now()));
  app.use(requestRate(options.http.maxRequestsPerMinute, 'requests'));
  app.use(closedDoor(ENDPOINTS));

  // Before compression: a stream must leave at once, not when a block is full.
  app.get('/api/events', (request, response) => {
    events.hub.join(response, events.wallText());
    options.streams.add(request, response);
  });
  app.use(compression());

  const changes = requestRate(options.http.maxChangesPerMinute, 'changes');
  for (const definition of ENDPOINTS) {
    const readers = definition.body ? bodyReaders(options.http) : definition.bytes ? [onlyBytes] : [];
    const before = definition.method === 'get' ? [] : [changes, ...readers];
    app[definition.method](definition.path, roleCheck(definition), ...before, handlerOf(definition, context));
  }
  const document = openApiDocument(ENDPOINTS);
  app.get('/api/openapi.json', (_request, response) => {
    response.json(document);
  });
  const metrics = new Metrics(context.sources, events.hub);
  app.get('/metrics', async (_request, response) => {
    response.type(metrics.contentType).send(await metrics.text());
  });
  app.get(
    '/wall/:secret',
    wallEntry(context.desk, (request, response) => {
      const { ip, path, method } = request;
      const { who } = callerOf(response);
      options.refusals.add({ status: 401, code: 'SIGN_IN_REFUSED', method, path, remote: ip ?? '', who });
      sendPage(response.status(401), options.pages);
    }),
  );
  // Its first answer is begun while the page is on its way: the first picture waits for both.
  app.get('/history', (request, response, next) => {
    context.sources.histories?.ready();
    if (mayHaveAnswers(response)) beginHistory(context, searchOf(request));
    next();
  });
  servePages(app, options.pages);

  const paths = [...ENDPOINTS.map(({ path }) => path), '/api/events', '/api/openapi.json', '/metrics'];
  const known = paths.map((path) => new RegExp(`^${path.replaceAll('.', '\\.').replace(/:\w+/g, '[^/]+')}$`));
  app.use((request) => {
    if (known.some((pattern) => pattern.test(request.path)))
      throw new AppError('METHOD_UNKNOWN', `${request.path} does not take ${request.method}`);
    throw new AppError('NOT_FOUND', `nothing is at ${request.path}`);
  });
  app.use(errorAnswer(options.onFault, options.refusals, options.http.maxBodyBytes));
  return app;
}

const onlyBytes: express.RequestHandler = (request, _response, next) => {
  if (!request.is('application/octet-stream'))
    throw new AppError(
      'MEDIA_TYPE',
      `the body is "${request.get('Content-Type') ?? 'of no stated type'}"; expected application/octet-stream`,
    );
  next();
};

/** Takes a JSON body of a bounded size. */
function bodyReaders({ maxBodyBytes }: OperationConfig['http']): express.RequestHandler[] {
  return [
    (request, _response, next) => {
      if (!request.is('application/json'))
        throw new AppError(
          'MEDIA_TYPE',
          `the body is "${request.get('Content-Type') ?? 'of no stated type'}"; expected application/json`,
        );
      next();
    },
    express.json({ limit: maxBodyBytes, strict: true }),
  ];
}
