import type { CauseFinding } from '../causes/types.js';
import type { JudgedFrame } from '../night/types.js';
import { adu, clock, confidenceWords, count, percentOf, ratio, size, withSigns } from './numbers.js';
import { safeLine, safeText } from './sanitize.js';
import { wrapText } from './terminal-text.js';
import { tellingWords } from './view.js';

/** One line for a sub that has just landed: time, decision, figures, first reason of a reject; wrapped to the terminal (`columns` null: not). */
export function watchLine(frame: JudgedFrame, columns: number | null = null): string {
  const figures = [
    `FWHM ${size(frame.fwhm)}`,
    `elongation ${ratio(frame.elongation)}`,
    count(frame.stars.measured, 'star'),
    `sky ${adu(frame.background.level)}`,
    `transparency ${percentOf(frame.transparency)}`,
  ].join('  ');
  const [reason] = tellingWords(frame);
  const line = `${clock(frame.header.dateObs)}  ${frame.decision.padEnd(6)}  ${frame.file}  ${figures}${reason === undefined ? '' : `  (${reason})`}`;
  return wrapText(safeLine(line), columns, INDENT);
}

/** Following lines begin under the decision. */
const INDENT = ' '.repeat('21:34  '.length);

/** A cause that has just been found, with what to do about it; wrapped to the terminal (`columns` null: not). */
export function watchFinding(cause: CauseFinding, columns: number | null = null): string {
  const title = `${cause.title}: ${confidenceWords(cause.confidence)} (${percentOf(cause.confidence)})`;
  const lines = [safeLine(title), ...safeText(withSigns(cause.advice)).split('\n')];
  return lines.map((line) => wrapText(`  ${line.trim()}`, columns, '  ')).join('\n');
}
