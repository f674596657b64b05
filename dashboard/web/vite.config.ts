import { defineConfig } from 'vite';

/** The screens: one page, its scripts, styles and typeface as files of their own, so that nothing inline has to run. */
export default defineConfig({
  root: import.meta.dirname,
  publicDir: false,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    // The service reads from it which files belong to a page (`dashboard/server/screen-files.ts`).
    manifest: 'manifest.json',
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 300,
    rolldownOptions: {
      // What several screens share is one file: a dozen of some hundred bytes would each be asked for before a screen can begin.
      output: { codeSplitting: { groups: [{ name: 'shared', minShareCount: 3 }] } },
    },
  },
  logLevel: 'warn',
});
