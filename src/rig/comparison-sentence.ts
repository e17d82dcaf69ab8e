import type { Metric } from './metrics.js';
import { nightsText, plainNumber } from './sentences.js';
import type { MetricComparison, RigNote } from './types.js';

/** Further nights that nobody will wait for. */
const TOO_MANY_NIGHTS = 300;

/** A comparison in one sentence: what moved, by how much and how surely; or that the data can't tell, and what would. */
export function comparisonSentence(
  metric: Metric,
  comparison: Omit<MetricComparison, 'sentence'>,
  note: RigNote | null,
): string {
  const value = (n: number) => plainNumber(n, metric.decimals);
  const unit = metric.unit === '' ? '' : ` ${metric.unit}`;
  const { before, after, low, high, verdict, elsewhere } = comparison;
  const because = note ? ` after "${note.text}" (${note.date})` : '';
  if (verdict !== 'cannot-tell' && low !== null && high !== null) {
    const sizes = [Math.abs(low), Math.abs(high)].sort((a, b) => a - b);
    const [verb, word] = comparison.shift < 0 ? ['fell', 'less'] : ['rose', 'more'];
    const moved = `from ${value(before.median)} to ${value(after.median)}${unit}`;
    const finding =
      // A figure that is best at zero neither falls nor rises for the better.
      metric.better === 'zero'
        ? `${metric.title} moved ${moved} (95 %: by ${signed(value(low), low)} to ${signed(value(high), high)}${unit})`
        : `${metric.title} ${verb} ${moved} (95 %: ${value(sizes[0])} to ${value(sizes[1])}${unit} ${word})`;
    if (elsewhere === null) return `${finding}${because}.${counted(before.since, after.until)}`;
    return elsewhere.date === null
      ? `${finding}, but it drifts steadily through both ranges.`
      : `${finding}, but the change came on ${elsewhere.date}, not between the two ranges.`;
  }
  const counts = `${nightsText(before.nights)} before, ${after.nights} after`;
  const interval =
    low === null || high === null
      ? 'too few nights for an interval'
      : `the shift lies between ${value(low)} and ${signed(value(high), high)}${unit}`;
  return `${metric.title}: the data cannot tell (${counts}; ${interval}). ${whatWouldTell(comparison)}`;
}

function counted(since: string | null, until: string | null): string {
  if (since === null && until === null) return '';
  const parts = [
    since === null ? null : `before it only those from ${since} on`,
    until === null ? null : `after it only those before ${until}`,
  ].filter((part) => part !== null);
  return ` Of the nights ${parts.join(', and ')} count, as it changed then too.`;
}

function whatWouldTell({ moreNights, before }: Omit<MetricComparison, 'sentence'>): string {
  if (moreNights === null) {
    return `With ${nightsText(before.nights)} before, no number of nights after would show a difference as small as the one seen.`;
  }
  if (moreNights > TOO_MANY_NIGHTS) {
    return `A difference as small as the one seen would take over ${TOO_MANY_NIGHTS} further nights to show.`;
  }
  return `If the difference is as seen, about ${moreNights} more ${moreNights === 1 ? 'night' : 'nights'} would show it.`;
}

function signed(text: string, value: number): string {
  return value > 0 ? `+${text}` : text;
}
