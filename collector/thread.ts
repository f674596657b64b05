import { createRequire } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Worker, type WorkerOptions } from 'node:worker_threads';

/**
 * Starts a worker thread from one of our modules, as built (`.js`) or straight from source (`.ts`, in tests and
 * development).
 *
 * @param entry the module without its extension: `new URL('./writer-thread', import.meta.url)`
 */
export function startThread(entry: URL, options: WorkerOptions = {}): Worker {
  if (!import.meta.url.endsWith('.ts')) return new Worker(fileURLToPath(`${entry.href}.js`), options);
  // A thread takes no loader for its own entry on Node 20: so a small entry brings the loader in, then the module.
  const tsx = pathToFileURL(createRequire(import.meta.url).resolve('tsx/package.json'));
  const loader = new URL('./dist/esm/api/index.mjs', tsx).href;
  const boot = `import { register } from ${JSON.stringify(loader)}; register(); await import(${JSON.stringify(`${entry.href}.ts`)});`;
  return new Worker(new URL(`data:text/javascript,${encodeURIComponent(boot)}`), options);
}
