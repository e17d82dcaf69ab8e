import envPaths from 'env-paths';
import { isAbsolute, join, resolve } from 'node:path';

/**
 * Where the history lies unless `--db` says otherwise: STARASSAY_DB, else `rigs.sqlite` in the user's data folder
 * (XDG_DATA_HOME where set, else the folder of the operating system).
 */
export function defaultStorePath(env: Readonly<Record<string, string | undefined>>): string {
  if (env.STARASSAY_DB) return resolve(env.STARASSAY_DB);
  const xdg = env.XDG_DATA_HOME;
  // The XDG specification says that a relative value is to be ignored.
  const folder = xdg && isAbsolute(xdg) ? join(xdg, 'starassay') : envPaths('starassay', { suffix: '' }).data;
  return join(folder, 'rigs.sqlite');
}
