import type { JudgedFrame } from '../night/types.js';
import { adu, clock, percentOf, ratio, size, whole } from './numbers.js';
import { safeText } from './sanitize.js';

/** One line for a sub that has just landed: time, decision, figures, first reason. */
export function watchLine(frame: JudgedFrame): string {
  const figures = [
    `FWHM ${size(frame.fwhm)}`,
    `elongation ${ratio(frame.elongation)}`,
    `${whole(frame.stars.measured)} stars`,
    `sky ${adu(frame.background.level)}`,
    `transparency ${percentOf(frame.transparency)}`,
  ].join('  ');
  const reason = frame.reasons[0]?.message;
  return safeText(
    `${clock(frame.header.dateObs)}  ${frame.decision.padEnd(6)}  ${frame.file}  ${figures}${reason ? `  (${reason})` : ''}`,
  );
}
