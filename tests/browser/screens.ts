import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { expect, onTestFinished } from 'vitest';
import type { DashboardOptions } from '../../dashboard/server/index.ts';
import type { HallOptions } from '../dashboard/hall.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { manualClock } from '../dashboard/manual-clock.ts';
import { type OpenHall, openHall } from '../dashboard/open-hall.ts';
import { screensForTests } from './built-screens.ts';
import { browserForTests } from './chromium.ts';

export interface Shown extends OpenHall {
  readonly page: Page;
  /** The service's clock; it stands still until moved. */
  readonly clock: ReturnType<typeof manualClock>;
}

export interface ShowOptions {
  readonly hall?: HallOptions;
  readonly path?: string;
  readonly size?: { readonly width: number; readonly height: number };
  readonly server?: Partial<DashboardOptions>;
  /** Messages of the page's console that the test expects. */
  readonly expected?: RegExp;
}

/** For what shows as soon as the browser gets round to it: looked at often, given up late. */
export const SOON = { timeout: 8000, interval: 50 };

export const WALL = { width: 1920, height: 1080 };
export const PHONE = { width: 390, height: 844 };

/** Opens screens of an invented hall; a page that complains on its console fails its test. */
export function screensOfHall(): (options?: ShowOptions) => Promise<Shown> {
  const browser = browserForTests();
  const folder = screensForTests();
  return async ({ hall, path = '/', size = WALL, server, expected } = {}) => {
    const clock = manualClock(NOON);
    const open = await openHall({ clock, webFolder: folder(), ...(hall ? { hall } : {}), ...server });
    const context = await browser().newContext({ viewport: size });
    const page = await context.newPage();
    const complaints: string[] = [];
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error' && !expected?.test(message.text())) complaints.push(message.text());
    });
    onTestFinished(async () => {
      await context.close();
      expect(complaints).toEqual([]);
    });
    // The page's own clock is still as well, so that no test has to wait.
    await page.clock.install({ time: NOON });
    await page.goto(open.url + path);
    return { ...open, page, clock };
  };
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe-core finds wrong on the page as it stands, WCAG 2.2 A and AA and its good practices. */
export async function accessibilityFaults(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as { axe: typeof import('axe-core') };
    const { violations } = await axe.run(document);
    return violations.flatMap(({ id, help, nodes }) =>
      nodes.map(({ html }) => `${id}: ${help}: ${html.slice(0, 160)}`),
    );
  });
}
