import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 20_000,
    hookTimeout: 60_000,
    // Two cores: the system and browser tests start programs of their own beside the runner.
    maxWorkers: 2,
  },
});
