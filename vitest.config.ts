import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: 'tests/build-kernels.ts',
    testTimeout: 180_000,
    hookTimeout: 180_000,
    pool: 'forks',
    maxWorkers: 2,
    // Files share a process and the modules loaded there, where no test leaves anything behind: loading them anew for each file took most of the time.
    isolate: false,
  },
});
