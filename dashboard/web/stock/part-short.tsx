import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { PartShortage } from '../../server/shop/stock-model.ts';
import { ApiFault, ask } from '../api.ts';

/** Why parts are not at hand, by part; null before the service has said so. */
const shorts = signal<ReadonlyMap<string, string> | null>(null);
let askedAt = Number.NEGATIVE_INFINITY;
/** Source: own choice, because a shelf changes a few times a day. */
const FRESH_MS = 30_000;

async function load(): Promise<void> {
  if (performance.now() - askedAt < FRESH_MS) return;
  askedAt = performance.now();
  try {
    const lines = await ask<PartShortage[]>('/api/stock/short');
    shorts.value = new Map(lines.map(({ part, says }) => [part, says]));
  } catch (error) {
    // A job is shown all the same; it then says nothing of the shelf, rather than something old.
    if (!(error instanceof ApiFault)) throw error;
    shorts.value = null;
    askedAt = Number.NEGATIVE_INFINITY;
  }
}

/** Warns where the part that a job needs is not on the shelf; nothing where it is, or where no stock is kept. */
export function PartShort({ part }: { part: string | null }): JSX.Element | null {
  useEffect(() => {
    void load();
  }, [part]);
  const short = part === null ? undefined : shorts.value?.get(part);
  return short === undefined ? null : (
    <p class="short" role="note">
      Not in stock: {short}.
    </p>
  );
}
