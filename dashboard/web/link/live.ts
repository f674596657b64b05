import { computed, signal } from '@preact/signals';
import type { Wall } from '../../server/wall-model.ts';
import { loadMe, signedOut } from '../sign-in/me.ts';
import { type Heard, LOST_AFTER_MS, linkState, serverNow } from './link-state.ts';

const steady = (): number => performance.now();

const heard = signal<Heard>({ openedMs: steady(), lastMs: null, serverMs: null });
const tick = signal(steady());

/** The newest wall; null before the first. */
export const wall = signal<Wall | null>(null);
/** State of the connection, followed twice a second. */
export const link = computed(() => linkState(heard.value, tick.value), { name: 'link' });
/** The service's clock, epoch ms; null before the first event. */
export const now = computed(() => serverNow(heard.value, tick.value));

/** When the service was last heard, ms of the page's steady clock; null before. */
export const lastHeardMs = computed(() => heard.value.lastMs);

const RETRY_MS = 3000;
const TICK_MS = 500;

/** Listens to the service for as long as the page is open, and connects anew whenever the stream fails or falls silent. */
export function startLive(): void {
  let source = connect();
  let openedMs = steady();
  setInterval(() => {
    tick.value = steady();
    const quietMs = steady() - Math.max(heard.peek().lastMs ?? 0, openedMs);
    const failed = source.readyState === EventSource.CLOSED && steady() - openedMs > RETRY_MS;
    if (!failed && quietMs <= LOST_AFTER_MS) return;
    source.close();
    source = connect();
    openedMs = steady();
    // The stream may have ended because whoever was signed in is no longer: the page then asks for that first.
    if (failed) void loadMe().then((one) => signedOut(one) && location.reload());
  }, TICK_MS);
}

function connect(): EventSource {
  const source = new EventSource('/api/events');
  source.addEventListener('wall', (event) => {
    const next = JSON.parse(event.data) as Wall;
    // The service was replaced by another version: an unattended screen has to bring itself up to date.
    if (wall.peek() && wall.peek()?.build !== next.build) location.reload();
    wall.value = next;
    hear(next.now);
  });
  source.addEventListener('heartbeat', (event) => hear((JSON.parse(event.data) as { now: number }).now));
  return source;
}

function hear(serverMs: number): void {
  const lastMs = steady();
  heard.value = { ...heard.peek(), lastMs, serverMs };
  tick.value = lastMs;
}
