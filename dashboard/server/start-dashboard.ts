import { createServer, type Server } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import type { SecureContextOptions } from 'node:tls';
import type { HistoryAnswer } from '../../analyzer/index.ts';
import { AppError } from '../../collector/contract/index.ts';
import { OperationConfig } from '../../collector/index.ts';
import { Desk } from './access/desk.ts';
import { OpenStreams } from './access/open-streams.ts';
import { AnswerMemory } from './answer-memory.ts';
import { AnswersAhead } from './answers-ahead.ts';
import { createApp } from './app.ts';
import { type Clock, timersAround } from './clock.ts';
import { WallEvents } from './events/wall-events.ts';
import { readPages } from './pages.ts';
import { answerClientFaults } from './security/client-faults.ts';
import { RefusalLog, type Say } from './security/refusal-log.ts';
import type { DashboardSources } from './sources.ts';

export interface DashboardOptions {
  readonly sources: DashboardSources;
  /** 0 takes any free port. */
  readonly port: number;
  /** Address to listen on. */
  readonly host: string;
  /** Epoch ms; the machine's timers are used with it. */
  readonly now: () => number;
  /** Told of faults of our own. */
  readonly onFault: (error: unknown) => void;
  /** Told of requests that were refused. */
  readonly onRefused?: Say;
  /** Limits; default: the configuration's own. */
  readonly http?: OperationConfig['http'];
  /** Certificate and key: HTTPS in place of HTTP. */
  readonly tls?: SecureContextOptions | undefined;
  /** In place of `now` and the machine's timers. */
  readonly clock?: Clock;
  /** Host names beside the loopback ones under which requests are taken, e.g. behind a proxy. */
  readonly allowedHosts?: readonly string[];
  /** Folder of the built screens; default: where the build puts them. */
  readonly webFolder?: string;
  readonly eventClients?: number;
}

export interface Dashboard {
  /** `http://HOST:PORT`, or with https, without a slash at its end. */
  readonly url: string;
  readonly port: number;
  /** Takes a renewed certificate for connections from now on. @throws {Error} where it is not usable: the one before stays */
  renew(tls: SecureContextOptions): void;
  /** Ends all streams and closes the port; may be called twice. */
  stop(): Promise<void>;
}

/**
 * Starts the HTTP side of the service: the API, the events and the screens.
 *
 * @throws {AppError} PORT_UNUSABLE when the port or address cannot be taken; INTERNAL when the screens are not built
 */
export async function startDashboard(options: DashboardOptions): Promise<Dashboard> {
  const pages = readPages(options.webFolder);
  const clock = options.clock ?? timersAround(options.now);
  const http = options.http ?? OperationConfig.parse({}).http;
  const context = {
    sources: options.sources,
    clock,
    build: pages.build,
    answers: new AnswerMemory(),
    histories: new AnswersAhead<HistoryAnswer>(),
    desk: options.sources.access ? new Desk(options.sources.access) : null,
    maxQueryDays: http.maxQueryDays,
  };
  const refusals = new RefusalLog(options.onRefused ?? (() => undefined), clock);
  const streams = new OpenStreams(context.desk, clock);
  const events = new WallEvents(context, { clients: options.eventClients ?? http.maxEventStreams });
  const app = createApp(context, events, {
    bound: options.host,
    allowedHosts: options.allowedHosts ?? [],
    pages,
    http,
    refusals,
    streams,
    onFault: options.onFault,
  });
  const headersTimeout = 1000 * Math.min(http.headersTimeoutS, http.requestTimeoutS);
  const limits = {
    maxHeaderSize: http.maxHeaderBytes,
    requestTimeout: 1000 * http.requestTimeoutS,
    headersTimeout,
    // Node looks only so often: a short limit is kept as well as a long one.
    connectionsCheckingInterval: Math.min(5000, headersTimeout / 4),
  };
  const { tls } = options;
  const secure = tls ? createTlsServer({ ...limits, ...tls }, app) : null;
  const server: Server = secure ?? createServer(limits, app);
  server.maxConnections = http.maxConnections;
  answerClientFaults(server, refusals);
  const port = await listen(server, options.port, options.host);
  events.start();
  streams.start();

  let stopped: Promise<void> | null = null;
  const name = options.host.includes(':') ? `[${options.host}]` : options.host;
  return {
    url: `${secure ? 'https' : 'http'}://${name}:${port}`,
    port,
    renew: (next) => secure?.setSecureContext(next),
    stop() {
      stopped ??= new Promise((resolve) => {
        events.stop();
        streams.stop();
        server.close(() => {
          refusals.endMinute();
          resolve();
        });
        server.closeAllConnections();
      });
      return stopped;
    },
  };
}

function listen(server: Server, port: number, host: string): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      const why =
        {
          EADDRINUSE: 'is in use by another program',
          EACCES: 'may not be used by this account',
          EADDRNOTAVAIL: 'is not on this machine',
        }[error.code ?? ''] ?? `cannot be used (${error.code ?? error.message})`;
      reject(new AppError('PORT_UNUSABLE', `HTTP address ${host}, port ${port}: ${why}`, { cause: error }));
    });
    server.listen({ port, host }, () => resolve((server.address() as { port: number }).port));
  });
}
