import type { FoundChange, MetricTrend, Stretch } from '../../rig/types.js';
import { count, fixed, plusMinusSigned, signed } from '../numbers.js';
import { noteWords } from './note-words.js';

/** What a trend says, one sentence each: steps and slow drifts, or, where there is neither, slope and significance; odd nights. */
export function trendSentences(trend: MetricTrend): string[] {
  const sentences: string[] = [];
  if (!trend.slopePerMonth || !trend.mannKendall)
    sentences.push(`${count(trend.points.length, 'night')}: too few for a trend.`);
  else if (trend.changes.length === 0) sentences.push(slopeSentence(trend));
  const drifts = trend.changes.length === 0 ? [] : trend.stretches.filter((part) => part.driftPerMonth !== 0);
  const found = [
    ...trend.changes
      .filter(({ kind }) => kind === 'step')
      .map((change) => ({ date: change.date, text: stepSentence(trend, change) })),
    ...drifts.map((drift) => ({ date: drift.from, text: driftSentence(trend, drift) })),
  ].sort((a, b) => a.date.localeCompare(b.date));
  sentences.push(...found.map(({ text }) => text));
  if (found.length > 0 && drifts.length === 0) sentences.push('Level between the steps.');
  const { outliers } = trend;
  if (outliers.length > 0) {
    const which = `${outliers.length > 3 ? ', last' : ':'} ${outliers.slice(-3).join(', ')}`;
    sentences.push(`Outside the control limits: ${count(outliers.length, 'night')}${which}.`);
  }
  return sentences;
}

function slopeSentence({ slopePerMonth, mannKendall, driftPerMonth, points, ...trend }: MetricTrend): string {
  const { slope, low, high } = slopePerMonth!;
  const { p } = mannKendall!;
  const digits = slopeDigits(slope, high - low);
  const finding =
    driftPerMonth !== 0
      ? `a slow drift (p ${pText(p)})`
      : p < 0.05
        ? `hardly a trend (p ${pText(p)})`
        : `no clear trend (p ${pText(p)})`;
  return `Slope ${signed(slope, digits)}${unitOf(trend)} a month (95 %: ${signed(low, digits)} to ${signed(high, digits)}): ${finding} over ${count(points.length, 'night')}.`;
}

function stepSentence(trend: MetricTrend, { date, before, after, size, error, note }: FoundChange): string {
  const value = (n: number) => fixed(n, trend.decimals);
  const due = note
    ? `, ${noteWords(note, date)}`
    : trend.subject === 'sky' || trend.subject === 'all'
      ? ''
      : ', with no note to explain it';
  return `Step on ${date}: from ${value(before)} to ${value(after)}${unitOf(trend)} (${plusMinusSigned(size, error, trend.decimals)})${due}.`;
}

function driftSentence(trend: MetricTrend, stretch: Stretch): string {
  const value = (n: number) => fixed(n, trend.decimals);
  const rate = signed(stretch.driftPerMonth, slopeDigits(stretch.driftPerMonth, stretch.driftPerMonth));
  const span =
    stretch.to === trend.points.at(-1)?.date ? `since ${stretch.from}` : `${stretch.from} to ${stretch.to}`;
  return `Slow drift ${span}: from ${value(stretch.startLevel)} to ${value(stretch.endLevel)}${unitOf(trend)} (${rate} a month).`;
}

function unitOf({ unit }: Pick<MetricTrend, 'unit'>): string {
  return unit === '' ? '' : ` ${unit}`;
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
