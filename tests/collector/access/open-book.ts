import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { type BookTools, openStore } from '../../../collector/index.ts';

/** A fresh store with what account books need, removed when the test ends. */
export function openBook(): BookTools & { readonly dir: string } {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-book-'));
  const store = openStore(dir, { create: true });
  onTestFinished(() => {
    store.close();
    rmSync(dir, { recursive: true, force: true });
  });
  return { dir, store, random: randomBytes };
}
