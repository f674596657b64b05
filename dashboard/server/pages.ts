import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import express, { type Express } from 'express';
import { AppError } from '../../collector/contract/index.ts';

/** Addresses that show a screen; the page itself finds out which. */
const SCREENS = ['/', '/jobs', '/jobs/:gun/:cause/:raised', '/log'];

/** The built screens, read once. */
export interface Pages {
  readonly folder: string;
  readonly html: Buffer;
  /** Changes with every change of the screens: the page names its scripts and styles by their content. */
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
  return { folder, html, build: createHash('sha256').update(html).digest('hex').slice(0, 12) };
}

/** `dist/web`, from the built server (dist/dashboard/server) and from its source alike. */
function defaultFolder(): string {
  const beside = fileURLToPath(new URL('../../web', import.meta.url));
  return existsSync(join(beside, 'index.html')) ? beside : fileURLToPath(new URL('../../dist/web', import.meta.url));
}

/** Serves the screens and their files. */
export function servePages(app: Express, pages: Pages): void {
  for (const path of SCREENS)
    app.get(path, (_request, response) => {
      response.type('html').set('Cache-Control', 'no-cache').send(pages.html);
    });
  app.use(
    '/assets',
    express.static(join(pages.folder, 'assets'), { immutable: true, maxAge: '365d', index: false, redirect: false }),
  );
  app.use(express.static(pages.folder, { index: false, redirect: false, maxAge: '1h' }));
}
