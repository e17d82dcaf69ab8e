import envPaths from 'env-paths';
import { join } from 'node:path';

/** Folder of remembered frames, in the user's cache folder. */
export function frameCacheFolder(): string {
  return join(envPaths('starassay', { suffix: '' }).cache, 'frames');
}
