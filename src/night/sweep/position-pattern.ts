import { UsageError } from '../../errors.js';

/**
 * The number that stands at `{step}` of a file name; null when the name does not match.
 *
 * @param pattern text of the name around the number, for example `focus{step}_`; taken literally
 * @throws UsageError when the pattern has no `{step}`
 */
export function positionInName(file: string, pattern: string): number | null {
  const [before, after] = pattern.split('{step}');
  if (before === undefined || after === undefined) {
    throw new UsageError(
      `--position-pattern ${pattern}: where is the position?`,
      'Write {step} where the number stands, for example --position-pattern "focus{step}_".',
    );
  }
  const quoted = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  const found = file.match(new RegExp(`${quoted(before)}([-+]?\\d+(?:\\.\\d+)?)${quoted(after)}`));
  return found ? Number(found[1]) : null;
}

/**
 * A pattern for the one number of the file names that may be a focuser position: it differs from file to file and does not just count
 * them; null when there is none, or more than one.
 */
export function likelyPattern(files: readonly string[]): string | null {
  const pieces = files.map((file) =>
    file
      .split('/')
      .at(-1)!
      .split(/(\d{2,})/),
  );
  const first = pieces[0];
  if (first === undefined || pieces.length < 2 || pieces.some((other) => other.length !== first.length))
    return null;
  const places = first.map((_, i) => i).filter((i) => i % 2 === 1 && mayBePosition(pieces.map((p) => p[i]!)));
  if (places.length !== 1) return null;
  const at = places[0]!;
  return `${first[at - 1]!}{step}${first[at + 1]!}`;
}

function mayBePosition(texts: readonly string[]): boolean {
  const numbers = [...new Set(texts.map(Number))].sort((a, b) => a - b);
  const counts = numbers.every((value, i) => i === 0 || value === numbers[i - 1]! + 1);
  return numbers.length > 1 && !counts;
}
