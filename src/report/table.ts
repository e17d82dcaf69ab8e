import stringWidth from 'string-width';
import type { NightAssessment } from '../causes/types.js';
import type { GroupSummary, JudgedFrame } from '../night/types.js';
import { adu, arcsec, clock, count, day, pixels, ratio, whole } from './numbers.js';
import { safeLine } from './sanitize.js';
import { clipCell, padCell, paint, type TerminalStyle } from './terminal-text.js';
import { tellingReasons, tellingWords } from './view.js';

/** A column of figures; `from` is the terminal width in cells from which it is shown. */
interface Column {
  readonly title: string | ((unit: Unit) => string);
  readonly from: number;
  readonly value: (frame: JudgedFrame, unit: Unit, severalDays: boolean) => string;
}
type Unit = 'arcsec' | 'px';

const figures: readonly Column[] = [
  { title: 'time', from: 110, value: (frame, _unit, days) => timeText(frame.header.dateObs, days) },
  {
    title: (unit) => (unit === 'arcsec' ? 'FWHM″' : 'FWHM px'),
    from: 0,
    value: (frame, unit) => ratio(frame.fwhm[unit]),
  },
  { title: 'HFD', from: 72, value: (frame, unit) => ratio(frame.hfd[unit]) },
  { title: 'elong', from: 46, value: (frame) => ratio(frame.elongation) },
  { title: 'stars', from: 56, value: (frame) => whole(frame.stars.measured) },
  { title: 'backgr', from: 72, value: (frame) => adu(frame.background.level) },
  { title: 'noise', from: 130, value: (frame) => adu(frame.background.noise) },
  { title: 'transp', from: 64, value: (frame) => ratio(frame.transparency) },
  { title: 'weight', from: 110, value: (frame) => ratio(frame.weight) },
];

/** From this width on the reason is given in full words. */
const wordsFrom = 130;
const shortNames: Readonly<Record<string, string>> = {
  fwhm: 'FWHM',
  hfd: 'HFD',
  elongation: 'elong',
  transparency: 'transp',
  'too-few-stars': 'stars',
  background: 'backgr',
  'keep-best': 'rank, weight',
  overruled: 'your decision',
};
/** Figures of which more is better: rejected under the limit. */
const moreIsBetter: ReadonlySet<string> = new Set(['transparency', 'weight', 'too-few-stars', 'keep-best']);

/**
 * The frames of a night as a table, one block a group, in order of time: file, FWHM, HFD, elongation, stars, background, transparency, decision and
 * first reason. It fits the terminal: a narrow one gets fewer columns and short reasons, a wide one more; piped text is complete and has no colour.
 * Sizes are in arcseconds where every frame of the group has a plate scale, else in pixels. `keep` and `REJECT` differ as words, not by colour alone.
 */
export function nightTable(night: NightAssessment, style: TerminalStyle): string {
  const blocks = night.groups.map((group) =>
    groupBlock(
      group,
      night.frames.filter((frame) => frame.group === group.name),
      style,
    ),
  );
  return blocks.join('\n\n');
}

/** The clock is enough within a day of the calendar and the next; a set over more needs the day. */
function timeText(dateObs: string | null, severalDays: boolean): string {
  return severalDays && dateObs !== null ? `${day(dateObs).slice(5)} ${clock(dateObs)}` : clock(dateObs);
}

function groupBlock(group: GroupSummary, frames: readonly JudgedFrame[], style: TerminalStyle): string {
  const unit: Unit = frames.every((frame) => frame.scale !== null) ? 'arcsec' : 'px';
  const severalDays = new Set(frames.map((frame) => day(frame.header.dateObs))).size > 2;
  const shown = figures.filter((column) => style.columns === null || style.columns >= column.from);
  const rows = frames.map((frame) => ({
    decision: frame.decision === 'keep' ? 'keep' : 'REJECT',
    file: safeLine(frame.file),
    cells: shown.map((column) => column.value(frame, unit, severalDays)),
    reason: reasonText(frame, style),
  }));
  const titles = shown.map(({ title }) => (typeof title === 'string' ? title : title(unit)));
  const widths = titles.map((title, i) =>
    Math.max(stringWidth(title), ...rows.map((row) => stringWidth(row.cells[i]!))),
  );
  const gap = style.columns !== null && style.columns < 100 ? ' ' : '  ';
  const fixed = 'REJECT'.length + widths.reduce((sum, width) => sum + gap.length + width, 0) + 2 * gap.length;
  const { fileWidth, reasonWidth } = shareRest(rows, fixed, style.columns);

  const line = (decision: string, file: string, cells: readonly string[], reason: string): string =>
    [
      padCell(decision, 'REJECT'.length),
      padCell(clipCell(file, fileWidth, 'end'), fileWidth),
      ...cells.map((cell, i) => padCell(cell, widths[i]!, 'right')),
      clipCell(reason, reasonWidth),
    ]
      .join(gap)
      .trimEnd();
  const head = line('', 'file', titles, 'reason');
  return [
    paint(groupTitle(group, unit, style), 'bold', style),
    paint(head, 'dim', style),
    ...rows.map((row) => {
      const text = line(row.decision, row.file, row.cells, row.reason);
      return row.decision === 'keep' ? text : paint(text, 'warn', style);
    }),
  ].join('\n');
}

function groupTitle(group: GroupSummary, unit: Unit, style: TerminalStyle): string {
  const { fwhmPx, fwhmArcsec } = group.reference;
  const reference = unit === 'arcsec' ? arcsec(fwhmArcsec) : pixels(fwhmPx);
  const counts = `: ${count(group.frames, 'frame')}, ${group.kept} kept`;
  const tail = fwhmPx === null ? counts : `${counts}, reference FWHM ${reference}`;
  const name = safeLine(group.name);
  if (style.columns === null || stringWidth(name + tail) <= style.columns) return name + tail;
  return clipCell(name, Math.max(8, style.columns - stringWidth(counts))) + counts;
}

function reasonText(frame: JudgedFrame, style: TerminalStyle): string {
  // Nothing to explain about a frame that is fine; its nearest limit is in the JSON.
  const [reason] = tellingReasons(frame);
  if (!reason) return '';
  if (style.columns === null || style.columns >= wordsFrom) return safeLine(tellingWords(frame)[0]!);
  const name = shortNames[reason.code] ?? reason.code;
  if (reason.value === null || reason.limit === null) return name;
  const figure = reason.code === 'too-few-stars' ? whole : ratio;
  return `${name} ${figure(reason.value)} ${moreIsBetter.has(reason.code) ? '<' : '>'} ${figure(reason.limit)}`;
}

/** Shares what the figures leave of the line between file name and reason. */
function shareRest(
  rows: readonly { readonly file: string; readonly reason: string }[],
  fixed: number,
  columns: number | null,
): { fileWidth: number; reasonWidth: number } {
  const longestFile = Math.max(...rows.map((row) => stringWidth(row.file)), 'file'.length);
  const longestReason = Math.max(...rows.map((row) => stringWidth(row.reason)), 0);
  if (columns === null)
    return { fileWidth: longestFile, reasonWidth: Math.max(longestReason, 'reason'.length) };
  const rest = Math.max(0, columns - fixed);
  if (longestFile + longestReason <= rest) return { fileWidth: longestFile, reasonWidth: rest - longestFile };
  // The reason is worth more than the start of a long name, which the frames of a night share.
  const fileWidth = Math.max(
    Math.min(longestFile, 10),
    Math.min(longestFile, rest - Math.min(longestReason, Math.floor(rest * 0.62))),
  );
  return { fileWidth, reasonWidth: Math.max(0, rest - fileWidth) };
}
