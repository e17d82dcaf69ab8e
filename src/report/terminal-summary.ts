import type { CauseFinding, HistoryVerdict, NightAssessment } from '../causes/types.js';
import type { JudgedFrame } from '../night/types.js';
import {
  adu,
  confidenceWords,
  count,
  measured,
  percentOf,
  ratio,
  withError,
  withSigns,
  worthAdvice,
} from './numbers.js';
import { safeLine, safeText } from './sanitize.js';
import { sparkline } from './terminal-sparkline.js';
import { padCell, paint, wrapText, type TerminalStyle } from './terminal-text.js';
import { reasonTitles } from './view.js';

const shownFiles = 6;

/**
 * The night in plain words: what to keep, how each group did, the run of FWHM and background through the night, and each cause found with its evidence and
 * what to do, wrapped to the terminal. Piped text has no bars and no colour.
 */
export function nightSummary(night: NightAssessment, style: TerminalStyle): string {
  const parts = [
    night.night.summary.text.map((line) => wrapText(safeLine(line), style.columns)).join('\n'),
    groupLines(night, style),
    courseOfNight(night.frames, style),
    night.frames.length > 0 ? causeText(night.night.causes, style) : '',
    historyText(night.night.history, style),
  ];
  return parts.filter((part) => part !== '').join('\n\n');
}

function groupLines(night: NightAssessment, style: TerminalStyle): string {
  if (night.groups.length < 2) return '';
  return night.groups
    .map((group) => {
      const counts = new Map<string, number>();
      for (const frame of night.frames) {
        const reason = frame.reasons[0];
        if (frame.group !== group.name || frame.decision === 'keep' || !reason) continue;
        const title = reasonTitles[reason.code];
        counts.set(title, (counts.get(title) ?? 0) + 1);
      }
      const why = [...counts].sort((a, b) => b[1] - a[1]).map(([title, n]) => `${title} ${n}`);
      const text = `${group.name}: ${group.kept} of ${group.frames} kept${why.length > 0 ? ` (rejected: ${why.join(', ')})` : ''}`;
      return wrapText(safeLine(text), style.columns, '  ');
    })
    .join('\n');
}

function courseOfNight(frames: readonly JudgedFrame[], style: TerminalStyle): string {
  if (frames.length < 3) return '';
  const inArcsec = frames.every((frame) => frame.scale !== null);
  const rows = [
    course(
      inArcsec ? 'FWHM arcsec' : 'FWHM px',
      frames.map((frame) => (inArcsec ? frame.fwhm.arcsec : frame.fwhm.px)),
      ratio,
    ),
    course(
      'background',
      frames.map((frame) => frame.background.level),
      adu,
    ),
  ].filter((row) => row !== null);
  if (rows.length === 0) return '';
  const nameWidth = Math.max(...rows.map((row) => row.name.length));
  const rangeWidth = Math.max(...rows.map((row) => row.range.length));
  return rows
    .map(({ name, range, values }) => {
      const head = `${padCell(name, nameWidth)}  ${padCell(range, rangeWidth)}`;
      const room = style.columns === null ? 0 : Math.min(60, style.columns - head.length - 2);
      return room < 8 ? head.trimEnd() : `${head}  ${sparkline(values, room)}`;
    })
    .join('\n');
}

function course(
  name: string,
  values: readonly (number | null)[],
  text: (value: number) => string,
): { name: string; range: string; values: readonly (number | null)[] } | null {
  const known = values.filter((value) => value !== null);
  if (known.length === 0) return null;
  return { name, range: `${text(Math.min(...known))} to ${text(Math.max(...known))}`, values };
}

function causeText(causes: readonly CauseFinding[], style: TerminalStyle): string {
  const found = causes
    .filter((cause) => cause.answer === 'found')
    .sort((a, b) => b.confidence - a.confidence);
  const certain = found.filter((cause) => cause.confidence >= worthAdvice);
  const faint = found.filter((cause) => cause.confidence < worthAdvice);
  const parts = certain.map((cause) => oneCause(cause, style));
  if (faint.length > 0) {
    const names = faint.map((cause) => `${cause.title} (${percentOf(cause.confidence)})`).join(', ');
    parts.push(wrapText(safeLine(`Not ruled out, on weak evidence: ${names}.`), style.columns, '  '));
  }
  if (found.length === 0 && causes.length > 0) {
    const untold = causes.filter((cause) => cause.answer === 'cannot-tell').map((cause) => cause.title);
    parts.push(
      wrapText(
        'No fault of the rig or the sky was found.' +
          (untold.length > 0
            ? safeLine(
                ` ${count(untold.length, 'cause')} could not be judged from these frames: ${untold.join('; ')}.`,
              )
            : ''),
        style.columns,
      ),
    );
  }
  return parts.join('\n\n');
}

function historyText(history: HistoryVerdict | undefined, style: TerminalStyle): string {
  if (!history) return '';
  const past = `${history.rig}, ${count(history.nights, 'earlier night')}`;
  const wrap = (text: string, indent: string) => wrapText(safeLine(text), style.columns, indent);
  const parts = history.unusual.map((finding) => wrap(`  - ${finding.sentence}`, '    '));
  if (parts.length > 0)
    parts.unshift(paint(wrap(`Out of the ordinary for this rig (${past}):`, '  '), 'bold', style));
  else if (history.nights > 0) parts.push(wrap(`Nothing out of the ordinary for this rig (${past}).`, '  '));
  if (history.spacing) parts.push(wrap(history.spacing.sentence, '  '));
  return parts.join('\n');
}

function oneCause(cause: CauseFinding, style: TerminalStyle): string {
  const width = style.columns;
  const title = `${cause.title}: ${confidenceWords(cause.confidence)} (${percentOf(cause.confidence)})`;
  const evidence = cause.evidence.map((item) => {
    const value =
      item.error === undefined
        ? measured(item.value, item.unit)
        : withError(item.value, item.error, item.unit);
    const details = [
      item.limit === undefined ? null : `limit ${measured(item.limit, item.unit)}`,
      item.region ?? null,
      item.stars === undefined ? null : count(item.stars, 'star'),
    ].filter((detail) => detail !== null);
    return wrapText(
      safeLine(`  - ${item.what}: ${value}${details.length > 0 ? ` (${details.join(', ')})` : ''}`),
      width,
      '    ',
    );
  });
  const advice = safeText(withSigns(cause.advice))
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line, i) => wrapText(`  ${i === 0 ? 'Do: ' : ''}${line.trim()}`, width, '  '));
  return [
    paint(wrapText(safeLine(title), width, '  '), 'bold', style),
    ...fileLine(cause, width),
    ...evidence,
    ...advice,
  ].join('\n');
}

function fileLine(cause: CauseFinding, width: number | null): string[] {
  const { frames } = cause;
  if (frames.length === 0) return [];
  const names = frames.slice(0, shownFiles).join(', ');
  const more = frames.length > shownFiles ? ` and ${frames.length - shownFiles} more` : '';
  return [wrapText(safeLine(`  ${count(frames.length, 'frame')}: ${names}${more}`), width, '    ')];
}
