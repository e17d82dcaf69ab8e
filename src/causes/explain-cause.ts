import { UsageError } from '../errors.js';
import { causes } from './registry.js';
import type { CauseMeta } from './types.js';

/**
 * The texts about one cause: what it is, why it matters, what looks like it, what to do, references.
 * Throws UsageError for a code that is not in the vocabulary, naming those that are.
 */
export function explainCause(code: string): CauseMeta {
  const cause = causes.find((c) => c.meta.code === code);
  if (!cause) {
    throw new UsageError(
      `no cause is called "${code}"`,
      `The causes are: ${causes.map((c) => c.meta.code).join(', ')}.`,
    );
  }
  return cause.meta;
}
