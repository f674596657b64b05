import { hostname } from 'node:os';
import type { Store } from '../../collector/index.ts';

const KEY = 'service/url';

/** An address at which others reach the service: one that stands for all of the machine's becomes the machine's name. */
export function reachableUrl(url: string, bind: string): string {
  if (bind !== '0.0.0.0' && bind !== '::') return url;
  const reached = new URL(url);
  reached.hostname = hostname();
  return reached.origin;
}

/** A host as it stands in an address: IPv6 in brackets. */
export function urlHost(host: string): string {
  return host.includes(':') ? `[${host}]` : host;
}

/** Keeps the service's address for the command line, which hands out links to it. */
export function rememberUrl(store: Store, url: string): void {
  store.states.put(KEY, Buffer.from(url));
}

/** The address that the service last had; the usual one where it never ran on this folder. */
export function rememberedUrl(store: Store): string {
  const url = store.states.get(KEY);
  return url === null ? 'http://127.0.0.1:8080' : Buffer.from(url).toString();
}
