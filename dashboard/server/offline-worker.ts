/** What the worker keeps: files of the page by name, and what changes with them. */
interface Kept {
  readonly assets: ReadonlyMap<string, unknown>;
  readonly build: string;
}

/**
 * The script that lets the page at the gun open without network (a service worker; browsers take one over HTTPS only). It keeps the page and
 * its files, by their build, and nothing of the API: what is shown of a gun comes from the page's own memory, with its age.
 */
export function offlineWorker({ assets, build }: Kept): string {
  const files = JSON.stringify(['/at-gun', ...[...assets.keys()].sort().map((name) => `/assets/${name}`)]);
  return `const CACHE = 'driftline-${build}';
const FILES = ${files};
addEventListener('install', (event) => {
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting()));
});
addEventListener('activate', (event) => {
  const old = (name) => name.startsWith('driftline-') && name !== CACHE;
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});
addEventListener('fetch', (event) => {
  const { method, url, mode } = event.request;
  const { pathname, origin } = new URL(url);
  if (method !== 'GET' || origin !== location.origin) return;
  if (pathname.startsWith('/assets/'))
    event.respondWith(caches.match(pathname).then((kept) => kept ?? fetch(event.request)));
  else if (mode === 'navigate' && pathname.startsWith('/at-gun'))
    event.respondWith(fetch(event.request).catch(() => caches.match('/at-gun')));
});
`;
}
