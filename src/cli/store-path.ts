import { dirname, resolve } from 'node:path';
import { configFiles } from './config-files.js';
import type { CliContext } from './context.js';
import { defaultStorePath } from './default-store-path.js';

/**
 * Where the history lies: what `--db` said (from the working folder), else `db` of the configuration (from the folder of that
 * file), else STARASSAY_DB, else the data folder.
 */
export async function storePath(
  db: string | undefined,
  context: Pick<CliContext, 'cwd' | 'env'>,
): Promise<string> {
  const setting =
    configFiles(context.cwd, context.env).length === 0
      ? undefined
      : (await (await import('./config.js')).loadConfig(context.cwd, context.env)).get('db');
  // What the configuration says reaches some commands as if it had been given on the command line.
  if (setting !== undefined && (db === undefined || db === String(setting.value)))
    return resolve(dirname(setting.file), String(setting.value));
  return db === undefined ? defaultStorePath(context.env) : resolve(context.cwd, db);
}
