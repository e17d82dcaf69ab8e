import type { Metric } from './metrics.js';
import { nightsText, plainNumber } from './sentences.js';
import type { MetricComparison, RigNote } from './types.js';

/** Further nights that nobody will wait for. */
const TOO_MANY_NIGHTS = 300;

/** A comparison in one sentence: what moved, by how much and how surely; that nothing did; or that the data can't tell, and what would. */
export function comparisonSentence(
  metric: Metric,
  comparison: Omit<MetricComparison, 'sentence'>,
  note: RigNote | null,
): string {
  const unit = metric.unit === '' ? '' : ` ${metric.unit}`;
  const { before, after, low, high, verdict } = comparison;
  const interval =
    low === null || high === null
      ? 'too few nights for an interval'
      : `the shift lies between ${plainNumber(low, metric.decimals)} and ${signed(high, metric.decimals)}${unit}`;
  if (verdict === 'unchanged') {
    return `${metric.title}: no change to speak of (${interval}).`;
  }
  if (verdict === 'cannot-tell') {
    const counts = `${nightsText(before.nights)} before, ${after.nights} after`;
    return `${metric.title}: the data cannot tell (${counts}; ${interval}). ${whatWouldTell(comparison)}`;
  }
  return `${finding(metric, comparison)}${cause(metric, comparison, note)}`;
}

function finding(metric: Metric, comparison: Omit<MetricComparison, 'sentence'>): string {
  const value = (n: number) => plainNumber(n, metric.decimals);
  const unit = metric.unit === '' ? '' : ` ${metric.unit}`;
  const { before, after, shift, drifted } = comparison;
  const [low, high] = [comparison.low ?? NaN, comparison.high ?? NaN];
  const led = drifted.before === 0 ? '' : ', where a slow drift had led it,';
  const moved = `from ${value(before.median)}${led} to ${value(after.median)}${unit}`;
  // A figure that is best at zero neither falls nor rises for the better.
  if (metric.better === 'zero') {
    return `${metric.title} moved ${moved} (95 %: by ${signed(low, metric.decimals)} to ${signed(high, metric.decimals)}${unit})`;
  }
  const sizes = [Math.abs(low), Math.abs(high)].sort((a, b) => a - b);
  const [verb, word] = shift < 0 ? ['fell', 'less'] : ['rose', 'more'];
  return `${metric.title} ${verb} ${moved} (95 %: ${value(sizes[0])} to ${value(sizes[1])}${unit} ${word})`;
}

/** What the change goes with: the note, another date, a slow drift, or the sky, which no note moves. */
function cause(
  metric: Metric,
  { elsewhere, before, after, within }: Omit<MetricComparison, 'sentence'>,
  note: RigNote | null,
): string {
  if (elsewhere?.date) return `, but the change came on ${elsewhere.date}, not between the two ranges.`;
  if (elsewhere?.drift) {
    const { from, to } = elsewhere.drift;
    return `, but slowly, in a drift from ${from} to ${to}, not at once.`;
  }
  if (metric.subject === 'sky') return ': the sky’s doing, not the rig’s.';
  const sky = metric.subject === 'all' ? '; the sky sways it too' : '';
  const because = note ? ` after "${note.text}" (${note.date})` : '';
  return `${because}${sky}.${counted(before.since, after.until)}${alsoChanged(within)}`;
}

function counted(since: string | null, until: string | null): string {
  if (since === null && until === null) return '';
  const parts = [
    since === null ? null : `before it only those from ${since} on`,
    until === null ? null : `after it only those before ${until}`,
  ].filter((part) => part !== null);
  return ` Of the nights ${parts.join(', and ')} count, as it changed then too.`;
}

function alsoChanged(dates: readonly string[]): string {
  return dates.length === 0 ? '' : ` Within the ranges it changed too: ${dates.join(', ')}.`;
}

function whatWouldTell({ moreNights, before }: Omit<MetricComparison, 'sentence'>): string {
  if (moreNights === null) {
    return `With ${nightsText(before.nights)} before, a difference of the size seen would not show, however many nights come after: record more of them before the next change.`;
  }
  if (moreNights > TOO_MANY_NIGHTS) {
    return `A difference as small as the one seen would take over ${TOO_MANY_NIGHTS} further nights to show.`;
  }
  return `If the difference is as seen, about ${moreNights} more ${moreNights === 1 ? 'night' : 'nights'} would show it.`;
}

function signed(value: number, decimals: number): string {
  const text = plainNumber(value, decimals);
  return Number(text.replace('−', '-')) > 0 ? `+${text}` : text;
}
