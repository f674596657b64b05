import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { type Dashboard, type DashboardOptions, startDashboard } from '../../dashboard/server/index.ts';
import { type Hall, type HallOptions, hall } from './hall.ts';
import { NOON } from './hall-guns.ts';

export interface OpenHall extends Hall {
  readonly url: string;
  readonly dashboard: Dashboard;
  /** Faults of the service itself that were reported. */
  readonly faults: unknown[];
  get(path: string, init?: RequestInit): Promise<{ status: number; type: string; headers: Headers; body: unknown }>;
  /** Sends a body; `method` in place of POST. */
  post(path: string, body: unknown, headers?: Record<string, string>, method?: string): ReturnType<OpenHall['get']>;
}

/** A folder with a page that stands for the built screens, gone when the test ends. */
export function pageFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'driftline-pages-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>page</title>');
  return folder;
}

/** The invented hall behind a running server, stopped when the test ends. */
export async function openHall(options: Partial<DashboardOptions> & { hall?: HallOptions } = {}): Promise<OpenHall> {
  const now = options.clock ? options.clock.now : () => NOON;
  const made = hall({ now, ...options.hall });
  const faults: unknown[] = [];
  const dashboard = await startDashboard({
    sources: made.sources,
    port: 0,
    host: '127.0.0.1',
    now,
    onFault: (fault) => faults.push(fault),
    webFolder: pageFolder(),
    ...options,
  });
  onTestFinished(() => dashboard.stop());
  const get: OpenHall['get'] = async (path, init) => {
    const answer = await fetch(dashboard.url + path, init);
    const type = answer.headers.get('Content-Type') ?? '';
    const body = type.includes('json') ? await answer.json() : await answer.text();
    return { status: answer.status, type, headers: answer.headers, body };
  };
  return {
    ...made,
    url: dashboard.url,
    dashboard,
    faults,
    get,
    post: (path, body, headers = {}, method = 'POST') =>
      get(path, {
        method,
        headers: { 'Content-Type': 'application/json', ...headers },
        body: typeof body === 'string' ? body : JSON.stringify(body),
      }),
  };
}
