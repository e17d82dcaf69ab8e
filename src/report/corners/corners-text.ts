import type { CauseFinding } from '../../causes/types.js';
import type { CornerFigure, CornerName } from '../../field/types.js';
import {
  confidenceWords,
  count,
  degrees,
  fixed,
  percentOf,
  ratio,
  withError,
  withSigns,
  worthAdvice,
} from '../numbers.js';
import { describeMap } from '../plot/sensor-map.js';
import { safeLine, safeText } from '../sanitize.js';
import { padCell, paint, wrapText, type TerminalStyle } from '../terminal-text.js';
import { subjectUnit, type CornersReport, type CornersSubject } from './corners-report.js';

/** The sensor map in words and figures: per group the corners in their places, then what the causes say about tilt and spacing. */
export function cornersText(report: CornersReport, style: TerminalStyle): string {
  const blocks = report.subjects.map((subject) => subjectText(subject, style));
  const found = report.causes
    .filter((cause) => cause.answer === 'found' && cause.confidence >= worthAdvice)
    .sort((a, b) => b.confidence - a.confidence);
  const others = report.causes.filter((cause) => cause.answer !== 'found' || cause.confidence < worthAdvice);
  const width = style.columns;
  return [
    ...blocks,
    ...found.map((cause) => foundText(cause, style)),
    others.map((cause) => wrapText(otherText(cause), width, '  ')).join('\n'),
  ]
    .filter((block) => block !== '')
    .join('\n\n');
}

function subjectText(subject: CornersSubject, style: TerminalStyle): string {
  const unit = subjectUnit(subject);
  const size = (px: number | null) => {
    const text = fixed(px === null ? null : px * unit.perPx, 2);
    return text === '–' ? text : `${text}${unit.sign}`;
  };
  const head = `${paint(safeLine(subject.name), 'bold', style)}  ${count(subject.files.length, 'sub')}, FWHM ${size(subject.fwhmPx)}, elongation ${ratio(subject.elongation)}`;
  const corner = (name: CornerName) => subject.field.corners.find((entry) => entry.name === name);
  const row = (left: CornerName, right: CornerName) =>
    `  ${padCell(cornerText(left, corner(left), size), COLUMN)}  ${cornerText(right, corner(right), size)}`;
  const words = describeMap({
    field: subject.field,
    widthPx: subject.widthPx,
    heightPx: subject.heightPx,
    unitPerPx: unit.perPx,
    unitSign: unit.sign,
  });
  return [
    head,
    row('top-left', 'top-right'),
    row('bottom-left', 'bottom-right'),
    wrapText(`  ${words}`, style.columns, '  '),
  ].join('\n');
}

const COLUMN = 36;

function cornerText(
  name: CornerName,
  corner: CornerFigure | undefined,
  size: (px: number | null) => string,
): string {
  if (!corner || corner.fwhm === null) return `${name}: too few stars`;
  const axis = corner.angleDeg === null ? '' : ` at ${degrees(corner.angleDeg)}`;
  return `${name}: ${size(corner.fwhm)}, ${ratio(corner.elongation)}${axis}`;
}

function foundText(cause: CauseFinding, style: TerminalStyle): string {
  const head = `${paint(safeLine(cause.title), 'warn', style)}: ${confidenceWords(cause.confidence)} (${percentOf(cause.confidence)})`;
  const evidence = cause.evidence.map((entry) => {
    const where = entry.region === undefined ? '' : `, ${entry.region}`;
    return wrapText(
      `  ${safeLine(`${entry.what}: ${withError(entry.value, entry.error, entry.unit)}${where}`)}`,
      style.columns,
      '    ',
    );
  });
  const advice = safeText(withSigns(cause.advice))
    .split('\n')
    .map((line) => wrapText(`  ${line}`, style.columns, '  '));
  return [head, ...evidence, ...advice].join('\n');
}

function otherText(cause: CauseFinding): string {
  if (cause.answer === 'found')
    return safeLine(`${cause.title}: not ruled out, on weak evidence (${percentOf(cause.confidence)})`);
  const answer = cause.answer === 'clear' ? 'not found' : 'cannot tell';
  return safeLine(`${cause.title}: ${answer}${cause.why === '' ? '' : ` (${withSigns(cause.why)})`}`);
}
