import type { MetricTrend } from '../../rig/types.js';
import { count, fixed, signed } from '../numbers.js';

/** What a trend says, one sentence each: slope, significance, changes, odd nights. */
export function trendSentences(trend: MetricTrend): string[] {
  const { decimals, slopePerMonth: line, mannKendall, changes, outliers } = trend;
  const unit = trend.unit === '' ? '' : ` ${trend.unit}`;
  const value = (n: number) => fixed(n, decimals);
  const sentences: string[] = [];
  if (!line || !mannKendall) {
    sentences.push(`${count(trend.points.length, 'night')}: too few for a trend.`);
  } else {
    const digits = slopeDigits(line.slope, line.high - line.low);
    const slope = `${signed(line.slope, digits)}${unit} a month (95 %: ${signed(line.low, digits)} to ${signed(line.high, digits)})`;
    const clear =
      mannKendall.p < 0.05
        ? `a trend (p ${pText(mannKendall.p)})`
        : `no clear trend (p ${pText(mannKendall.p)})`;
    sentences.push(
      `Slope ${slope}: ${clear} over ${count(trend.points.length, 'night')}${changes.length > 0 ? ', steps included' : ''}.`,
    );
  }
  for (const change of changes) {
    const due = change.note
      ? `, after ${change.note.kind === 'logged' ? `note ${change.note.number}, ` : ''}"${change.note.text}"`
      : trend.subject === 'sky' || trend.subject === 'all'
        ? ''
        : ', with no note to explain it';
    sentences.push(
      `${change.date}: from ${value(change.before)} to ${value(change.after)}${unit} (${signed(change.size, decimals)} ± ${value(change.error)})${due}.`,
    );
  }
  if (trend.driftPerMonth !== 0) {
    const digits = slopeDigits(trend.driftPerMonth, trend.driftPerMonth);
    sentences.push(
      `Steady drift ${signed(trend.driftPerMonth, digits)}${unit} a month${changes.length > 0 ? ' beside the steps' : ''}.`,
    );
  }
  if (outliers.length > 0) {
    const some = outliers.slice(-3).join(', ');
    sentences.push(
      `Outside the control limits: ${count(outliers.length, 'night')}${outliers.length > 3 ? ', last' : ':'} ${some}.`.replace(
        '::',
        ':',
      ),
    );
  }
  return sentences;
}

/** A p-value as people quote it. */
export function pText(p: number): string {
  return p < 0.001 ? '< 0.001' : `= ${p.toFixed(p < 0.1 ? 3 : 2)}`;
}

/** Decimals that show two figures of a slope or of its interval, whichever is larger. */
function slopeDigits(slope: number, width: number): number {
  const size = Math.max(Math.abs(slope), Math.abs(width) / 4);
  return size > 0 ? Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(size)))) : 2;
}
