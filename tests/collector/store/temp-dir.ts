import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A folder that is gone after the test. */
export function tempDir(): string {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-store-'));
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}
