import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { offlineWorker } from '../../../dashboard/server/offline-worker.ts';

type Listener = (event: object) => void;

/** Runs the worker as a browser would, over a cache in memory and a network that can be cut. */
async function installed(): Promise<{
  ask: (url: string, mode?: string) => Promise<string | null>;
  cut: () => void;
  caches: string[];
}> {
  const listeners = new Map<string, Listener>();
  const stores = new Map<string, Map<string, string>>([['driftline-old', new Map()]]);
  let online = true;
  const fetched = async (request: string | { url: string }): Promise<string> => {
    if (!online) throw new TypeError('no network');
    return `network ${typeof request === 'string' ? request : new URL(request.url).pathname}`;
  };
  const caches = {
    open: async (name: string) => {
      const store = stores.get(name) ?? new Map<string, string>();
      stores.set(name, store);
      return {
        addAll: async (files: string[]) => {
          for (const file of files) store.set(file, `kept ${file}`);
        },
      };
    },
    keys: async () => [...stores.keys()],
    delete: async (name: string) => stores.delete(name),
    match: async (path: string) =>
      [...stores.values()].map((store) => store.get(path)).find((kept) => kept !== undefined),
  };
  const pages = { html: Buffer.from(''), assets: new Map([['main-1.js', Buffer.from('')]]), build: 'abc' };
  const self = { skipWaiting: async () => undefined, clients: { claim: async () => undefined } };
  runInNewContext(offlineWorker(pages), {
    ...{ self, caches, URL, fetch: fetched, location: { origin: 'https://hall' } },
    addEventListener: (name: string, listener: Listener) => listeners.set(name, listener),
  });
  for (const name of ['install', 'activate'])
    await new Promise<void>((done, fail) => {
      listeners.get(name)!({ waitUntil: (work: Promise<void>) => void work.then(() => done(), fail) });
    });
  return {
    ask: async (url, mode = 'cors') => {
      let answer: Promise<string> | null = null;
      listeners.get('fetch')!({
        request: { url, mode, method: 'GET' },
        respondWith: (promise: Promise<string>) => {
          answer = promise;
        },
      });
      return answer;
    },
    cut: () => {
      online = false;
    },
    caches: [...stores.keys()],
  };
}

it('opens the page at the gun from its own memory when the network is cut, and only that page', async () => {
  const { ask, cut, caches } = await installed();
  expect(caches).toEqual(['driftline-abc']);
  expect(await ask('https://hall/at-gun/gun-01', 'navigate')).toBe('network /at-gun/gun-01');
  cut();
  expect(await ask('https://hall/at-gun/gun-01', 'navigate')).toBe('kept /at-gun');
  expect(await ask('https://hall/assets/main-1.js')).toBe('kept /assets/main-1.js');
  expect(await ask('https://hall/api/views')).toBeNull();
  expect(await ask('https://hall/stock', 'navigate')).toBeNull();
  expect(await ask('https://elsewhere/assets/main-1.js')).toBeNull();
});
