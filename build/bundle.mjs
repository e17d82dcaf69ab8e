/*
 * Puts the modules of the command and of its worker threads into few files: a hundred small modules take a quarter of a second to load, in every thread anew.
 * The entries replace those that the compiler wrote; what the command loads only when it is wanted lies in dist/chunks. Libraries stay outside, as package.json lists them.
 */
import { rmSync } from 'node:fs';
import { build } from 'esbuild';

const common = {
  outbase: '.',
  outdir: 'dist',
  bundle: true,
  packages: 'external',
  format: 'esm',
  platform: 'node',
  target: 'node20',
  logLevel: 'warning',
};

rmSync('dist/chunks', { recursive: true, force: true });
await build({
  ...common,
  entryPoints: ['src/cli/main.ts'],
  splitting: true,
  chunkNames: 'chunks/[name]-[hash]',
});
await build({ ...common, entryPoints: ['workers/assess-frame.ts'] });
