import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const entry = fileURLToPath(new URL('../../dist/src/cli/main.js', import.meta.url));
export const sampleNight = fileURLToPath(new URL('../../sample-frames', import.meta.url));

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Run the built command as a user would; the user's own settings, cache and history stay out of it. */
export function run(
  args: readonly string[],
  options: { cwd?: string; home?: string; input?: string } = {},
): Ran {
  if (!existsSync(entry)) throw new Error('run `npm run build` first: these tests use the built command');
  const home = options.home ?? '/nonexistent-home';
  const result = spawnSync(process.execPath, [entry, ...args], {
    cwd: options.cwd,
    input: options.input,
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
    env: {
      PATH: process.env.PATH,
      HOME: home,
      XDG_CACHE_HOME: `${home}/cache`,
      XDG_DATA_HOME: `${home}/data`,
      STARASSAY_CONFIG_DIR: `${home}/config`,
    },
  });
  return { code: result.status, out: result.stdout, err: result.stderr };
}
