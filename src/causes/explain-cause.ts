import { UsageError } from '../errors.js';
import { causes } from './registry.js';
import type { CauseMeta } from './types.js';

/**
 * The texts about one cause: what it is, why it matters, what looks like it, what to do, references.
 * Capitals do not matter. Throws UsageError for a code that is not in the vocabulary, naming those that are.
 */
export function explainCause(code: string): CauseMeta {
  const wanted = code.trim().toLowerCase();
  const codes = causes.map((c) => c.meta.code);
  const cause = causes.find((c) => c.meta.code === wanted);
  if (!cause) {
    const alike = codes.filter((known) =>
      known.split('-').some((word) => word.startsWith(wanted.slice(0, 4))),
    );
    throw new UsageError(
      `no cause is called "${code}"`,
      `${alike.length > 0 ? `Did you mean ${alike.join(' or ')}? ` : ''}The causes are: ${codes.join(', ')}.`,
    );
  }
  return cause.meta;
}
