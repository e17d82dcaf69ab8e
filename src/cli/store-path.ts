import { dirname, resolve } from 'node:path';
import type { CliContext } from './context.js';

/**
 * Where the history lies: what `--db` said (from the working folder), else `db` of the configuration (from the folder of that
 * file), else STARASSAY_DB, else the data folder.
 */
export async function storePath(
  db: string | undefined,
  context: Pick<CliContext, 'cwd' | 'env'>,
): Promise<string> {
  const [{ loadConfig }, { defaultStorePath }] = await Promise.all([
    import('./config.js'),
    import('../rig/index.js'),
  ]);
  const setting = loadConfig(context.cwd, context.env).get('db');
  // What the configuration says reaches some commands as if it had been given on the command line.
  if (setting !== undefined && (db === undefined || db === String(setting.value)))
    return resolve(dirname(setting.file), String(setting.value));
  return db === undefined ? defaultStorePath(context.env) : resolve(context.cwd, db);
}
