import { accessSync, constants } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const PROGRAM = '/usr/bin/chromium';

/**
 * Debian's browser, without a screen.
 *
 * @throws {Error} where it is not installed
 */
export async function launchChromium(): Promise<Browser> {
  try {
    accessSync(PROGRAM, constants.X_OK);
  } catch (error) {
    throw new Error(`a browser is needed: ${PROGRAM}; install Debian's package chromium`, { cause: error });
  }
  return chromium.launch({
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
}
