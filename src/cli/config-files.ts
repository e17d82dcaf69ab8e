import envPaths from 'env-paths';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { UsageError } from '../errors.js';

const fileNames = ['starassay.yaml', 'starassay.yml', 'starassay.json'];

/**
 * The configuration files that count, weakest first: that of the user's configuration folder (STARASSAY_CONFIG_DIR names another),
 * then that of the working folder; mostly none.
 *
 * Apart from what reads them, so that a command in a hurry need not load a parser to learn that there is nothing to parse.
 *
 * @throws UsageError when a folder holds several
 */
export function configFiles(cwd: string, env: Readonly<Record<string, string | undefined>>): string[] {
  const userFolder = env['STARASSAY_CONFIG_DIR'] ?? envPaths('starassay', { suffix: '' }).config;
  return [...new Set([userFolder, cwd])].flatMap((folder) => configFileIn(folder) ?? []);
}

function configFileIn(folder: string): string | null {
  const files = fileNames.map((name) => join(folder, name)).filter((file) => existsSync(file));
  if (files.length > 1) {
    throw new UsageError(
      `There are ${files.length} configuration files in one folder: ${files.join(', ')}.`,
      'Keep one of them.',
      files[0] ?? null,
    );
  }
  return files[0] ?? null;
}
