import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { UsageError } from '../errors.js';
import type { CliContext } from './context.js';

/**
 * Text of an input file, `-` for standard input.
 *
 * @param remedy what kind of file is wanted, for the message
 * @throws UsageError naming the file when it cannot be read
 */
export async function readInput(
  file: string,
  remedy: string,
  context: Pick<CliContext, 'cwd' | 'readStdin'>,
): Promise<string> {
  if (file === '-') return context.readStdin();
  const path = resolve(context.cwd, file);
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? 'unknown reason';
    throw new UsageError(`${path} cannot be read (${code})`, remedy, path);
  }
}
