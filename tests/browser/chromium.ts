import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { launchChromium } from './launch-chromium.ts';

/** Debian's browser, started before the tests of a file and closed after them. */
export function browserForTests(): () => Browser {
  let browser: Browser | null = null;
  beforeAll(async () => {
    browser = await launchChromium();
  });
  afterAll(async () => {
    await browser?.close();
  });
  return () => {
    if (!browser) throw new Error('the browser was not started');
    return browser;
  };
}
