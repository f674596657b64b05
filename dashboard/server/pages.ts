import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Express, Response } from 'express';
import { AppError } from '../../collector/contract/index.ts';
import { offlineWorker } from './offline-worker.ts';

/** Addresses that show a screen; the page itself finds out which. */
export const SCREENS = [
  '/',
  '/jobs',
  '/jobs/:gun/:cause/:raised',
  '/guns',
  '/guns/:gun',
  '/plan',
  '/log',
  '/at-gun',
  '/at-gun/:gun',
  '/stock',
  '/life',
  '/cost',
  '/reports',
  '/reports/:tab',
  '/labels',
  '/findings',
  '/history',
  '/baseline',
  '/settings',
  '/import',
  '/status',
  '/account',
  '/people',
  '/audit',
  '/welcome',
];

const TYPES: Readonly<Record<string, string>> = {
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
};

/** The built screens, held in memory: a build under a running service must not leave its pages without their scripts. */
export interface Pages {
  readonly html: Buffer;
  /** Files of the page by their name in `/assets/`, which tells their content apart. */
  readonly assets: ReadonlyMap<string, Buffer>;
  /** Changes with every change of the screens. */
  readonly build: string;
}

/**
 * Reads the built screens.
 *
 * @throws {AppError} INTERNAL when they were not built
 */
export function readPages(folder = defaultFolder()): Pages {
  const file = join(folder, 'index.html');
  if (!existsSync(file))
    throw new AppError('INTERNAL', `the screens are not built: ${file} is missing; run "npm run build"`);
  const html = readFileSync(file);
  const assetFolder = join(folder, 'assets');
  const names = existsSync(assetFolder) ? readdirSync(assetFolder).filter((name) => extname(name) in TYPES) : [];
  const assets = new Map(names.map((name) => [name, readFileSync(join(assetFolder, name))]));
  return { html, assets, build: createHash('sha256').update(html).digest('hex').slice(0, 12) };
}

/** `dist/web`, from the built server (dist/dashboard/server) and from its source alike. */
function defaultFolder(): string {
  const beside = fileURLToPath(new URL('../../web', import.meta.url));
  return existsSync(join(beside, 'index.html')) ? beside : fileURLToPath(new URL('../../dist/web', import.meta.url));
}

/** Answers with the page, which finds out itself what it is to show. */
export function sendPage(response: Response, { html }: Pages): void {
  response.set({ 'Content-Type': 'text/html; charset=utf-8', 'Cache-Control': 'no-cache' }).send(html);
}

/** Files of a screen's own, so that a browser fetches them beside the script that would ask for them: a header `Link`, RFC 8288; empty where it has none. */
function screenFiles(path: string, assets: Pages['assets']): string {
  const own = [...assets.keys()].filter((name) => name.startsWith(`${path.slice(1)}-screen-`));
  const as: Record<string, string> = { '.js': 'rel="modulepreload"', '.css': 'rel="preload"; as="style"' };
  return own.flatMap((name) => (as[extname(name)] ? [`</assets/${name}>; ${as[extname(name)]}`] : [])).join(', ');
}

/** Serves the screens and their files. */
export function servePages(app: Express, pages: Pages): void {
  const { assets } = pages;
  const worker = offlineWorker(pages);
  // Before the screens: its address lies below the one that it serves, which is its scope.
  app.get('/at-gun/sw.js', (_request, response) => {
    response.set({ 'Content-Type': TYPES['.js'] ?? '', 'Cache-Control': 'no-cache' }).send(worker);
  });
  for (const path of SCREENS) {
    const link = screenFiles(path, assets);
    app.get(path, (_request, response) => {
      if (link !== '') response.set('Link', link);
      sendPage(response, pages);
    });
  }
  app.get('/assets/:name', (request, response, next) => {
    const { name } = request.params;
    const body = assets.get(name);
    if (!body) return next();
    response
      .set({ 'Content-Type': TYPES[extname(name)] ?? '', 'Cache-Control': 'public, max-age=31536000, immutable' })
      .send(body);
  });
}
