import { spawnSync } from 'node:child_process';
import { accessSync, constants } from 'node:fs';

/**
 * Whether a program of Debian is there; installs its package where this machine lets us. Otherwise says in one line what is
 * left out.
 */
export function hasDebianTool(path: string, debianPackage: string, leftOut: string): boolean {
  if (isExecutable(path)) return true;
  if (process.getuid?.() === 0) {
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
    const run = (...args: string[]): void =>
      void spawnSync('apt-get', args, { stdio: 'ignore', env, timeout: 120_000 });
    run('install', '-y', '-qq', '--no-install-recommends', debianPackage);
    if (!isExecutable(path)) {
      run('update', '-qq');
      run('install', '-y', '-qq', '--no-install-recommends', debianPackage);
    }
    if (isExecutable(path)) return true;
  }
  console.warn(`left out: ${leftOut} needs ${path} (Debian's package ${debianPackage})`);
  return false;
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
