import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll } from 'vitest';

/** Builds the screens as they are now into a folder of their own, before the tests of a file. */
export function screensForTests(): () => string {
  const folder = mkdtempSync(join(tmpdir(), 'driftline-web-'));
  beforeAll(async () => {
    await build({
      configFile: fileURLToPath(new URL('../../dashboard/web/vite.config.ts', import.meta.url)),
      build: { outDir: folder, emptyOutDir: true },
    });
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return () => folder;
}
