import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { Express, Request, Response } from 'express';
import { askedFirst } from '../../collector/contract/history-look.ts';
import { AppError, mayActAs } from '../../collector/contract/index.ts';
import { callerOf } from './access/caller.ts';
import { offlineWorker } from './offline-worker.ts';
import { type BuildManifest, screenFiles } from './screen-files.ts';

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

/** As `vite.config.ts` names it; pages of a build without one come with no word of their files. */
const MANIFEST = 'manifest.json';
/** What is worth packing: typefaces are packed already. */
const TEXTS: ReadonlySet<string> = new Set(['.js', '.css', '.svg']);
/** Source: own choice, several times what our own links come to; what it holds is sent back with the page. */
const LONGEST_SEARCH = 400;

/** The built screens, held in memory: a build under a running service must not leave its pages without their scripts. */
export interface Pages {
  readonly html: Buffer;
  /** Files of the page by their name in `/assets/`, which tells their content apart. */
  readonly assets: ReadonlyMap<string, Buffer>;
  /** Which files belong to which screen. */
  readonly manifest: BuildManifest;
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
  const manifest = existsSync(join(folder, MANIFEST))
    ? (JSON.parse(readFileSync(join(folder, MANIFEST), 'utf8')) as BuildManifest)
    : {};
  return { html, assets, manifest, build: createHash('sha256').update(html).digest('hex').slice(0, 12) };
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

/** What its page asks for first, where who opens it may have the answers: a browser fetches them while the scripts are on their way. */
function historyAnswers(request: Request, response: Response): string {
  if (!mayHaveAnswers(response)) return '';
  const search = searchOf(request);
  if (search.length > LONGEST_SEARCH) return '';
  return ['/api/me', ...askedFirst(search)]
    .map((path) => `<${path}>; rel="preload"; as="fetch"; crossorigin`)
    .join(', ');
}

/** Whether who opens the page of a gun's past may have what it asks for. */
export function mayHaveAnswers(response: Response): boolean {
  const { role } = callerOf(response);
  return role !== null && mayActAs(role, 'fitter');
}

/** What stands behind the path of a page, with its question mark. */
export function searchOf(request: Request): string {
  return request.originalUrl.slice(request.path.length);
}

const pack = promisify<Buffer, Buffer>(gzip);

/** Serves the screens and their files. */
export function servePages(app: Express, pages: Pages): void {
  const { assets, manifest } = pages;
  const worker = offlineWorker(pages);
  // Before the screens: its address lies below the one that it serves, which is its scope.
  app.get('/at-gun/sw.js', (_request, response) => {
    response.set({ 'Content-Type': TYPES['.js'] ?? '', 'Cache-Control': 'no-cache' }).send(worker);
  });
  for (const path of SCREENS) {
    const files = screenFiles(path, manifest);
    app.get(path, (request, response) => {
      const answers = path === '/history' ? historyAnswers(request, response) : '';
      // Answers first: they take longest, and a browser opens six connections.
      const links = [answers, files].filter((link) => link !== '');
      if (links.length > 0) response.set('Link', links.join(', '));
      sendPage(response, pages);
    });
  }
  // They never change: packed once, not for everyone who asks.
  const packed = new Map<string, Promise<Buffer>>();
  app.get('/assets/:name', async (request, response, next) => {
    const { name } = request.params;
    const body = assets.get(name);
    if (!body) return next();
    response.set({
      'Content-Type': TYPES[extname(name)] ?? '',
      'Cache-Control': 'public, max-age=31536000, immutable',
    });
    if (!TEXTS.has(extname(name))) return response.send(body);
    response.vary('Accept-Encoding');
    if (request.acceptsEncodings('gzip') === false) return response.send(body);
    const small = packed.get(name) ?? pack(body);
    packed.set(name, small);
    response.set('Content-Encoding', 'gzip').send(await small);
  });
}
