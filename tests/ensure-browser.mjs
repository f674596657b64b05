// Run before the tests: the browser tests drive Debian's chromium. Where it is missing and this machine
// lets us install it, install it; otherwise say in one line what is missing and stop.
import { spawnSync } from 'node:child_process';
import { accessSync, constants } from 'node:fs';

const BROWSER = '/usr/bin/chromium';

const present = () => {
  try {
    accessSync(BROWSER, constants.X_OK);
    return true;
  } catch {
    return false;
  }
};
const run = (...args) =>
  spawnSync('apt-get', args, {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  }).status === 0;

if (!present()) {
  const mayInstall = process.getuid?.() === 0 && spawnSync('apt-get', ['--version'], { stdio: 'ignore' }).status === 0;
  if (mayInstall) {
    process.stderr.write(`${BROWSER} is missing; installing Debian's package chromium for the browser tests\n`);
    run('update', '-qq');
    run('install', '-y', '-qq', '--no-install-recommends', 'chromium');
  }
  if (!present()) {
    process.stderr.write(
      `missing for the tests: ${BROWSER} (Debian's package chromium); install it with "apt-get install chromium" as root, then run npm test again\n`,
    );
    process.exit(1);
  }
}
