import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { Load, LoadResult } from './load-child.ts';

const CHILD = fileURLToPath(new URL('./load-child.ts', import.meta.url));

/** Puts load on a broker from a process of its own. @throws {Error} when not everything is acknowledged */
export async function putLoad(load: Load): Promise<LoadResult> {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, JSON.stringify(load)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let text = '';
  child.stdout.setEncoding('utf8').on('data', (more: string) => {
    text += more;
  });
  const [status] = await once(child, 'close');
  if (status !== 0) throw new Error(`the load ended with ${status}`);
  return JSON.parse(text) as LoadResult;
}
