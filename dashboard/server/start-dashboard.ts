import { createServer, type Server } from 'node:http';
import { AppError } from '../../collector/contract/index.ts';
import { AnswerMemory } from './answer-memory.ts';
import { createApp } from './app.ts';
import { type Clock, timersAround } from './clock.ts';
import { WallEvents } from './events/wall-events.ts';
import { readPages } from './pages.ts';
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
  /** In place of `now` and the machine's timers. */
  readonly clock?: Clock;
  /** Host names beside the loopback ones under which requests are taken, e.g. behind a proxy. */
  readonly allowedHosts?: readonly string[];
  /** Folder of the built screens; default: where the build puts them. */
  readonly webFolder?: string;
  readonly eventClients?: number;
}

export interface Dashboard {
  /** `http://HOST:PORT`, without a slash at its end. */
  readonly url: string;
  readonly port: number;
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
  const context = {
    sources: options.sources,
    clock,
    build: pages.build,
    answers: new AnswerMemory(),
  };
  const events = new WallEvents(context, options.eventClients === undefined ? {} : { clients: options.eventClients });
  const app = createApp(context, events, {
    bound: options.host,
    allowedHosts: options.allowedHosts ?? [],
    pages,
    onFault: options.onFault,
  });
  const server = createServer(
    { requestTimeout: 30_000, headersTimeout: 10_000, connectionsCheckingInterval: 5000 },
    app,
  );
  server.maxConnections = 1000;
  const port = await listen(server, options.port, options.host);
  events.start();

  let stopped: Promise<void> | null = null;
  const name = options.host.includes(':') ? `[${options.host}]` : options.host;
  return {
    url: `http://${name}:${port}`,
    port,
    stop() {
      stopped ??= new Promise((resolve) => {
        events.stop();
        server.close(() => resolve());
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
