import { accessSync, constants } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';

const PROGRAM = '/usr/bin/chromium';

/** Debian's browser, started before the tests of a file and closed after them. */
export function browserForTests(): () => Browser {
  let browser: Browser | null = null;
  beforeAll(async () => {
    try {
      accessSync(PROGRAM, constants.X_OK);
    } catch (error) {
      throw new Error(`the browser tests need ${PROGRAM}; install Debian's package chromium`, { cause: error });
    }
    browser = await chromium.launch({
      executablePath: PROGRAM,
      args: [
        '--headless',
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    });
  });
  afterAll(async () => {
    await browser?.close();
  });
  return () => {
    if (!browser) throw new Error('the browser was not started');
    return browser;
  };
}
