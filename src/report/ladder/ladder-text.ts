import type { LadderAssessment } from '../../night/ladder/index.js';
import { DASH, count, fixed, plusMinus, plusMinusSigned, signed, withSigns } from '../numbers.js';
import { scaleLines } from './scale-lines.js';
import { safeLine } from '../sanitize.js';
import { wrapLines } from '../terminal-text.js';

/** A ladder as text for a terminal of `columns` (null: piped, not wrapped): the rungs, the best spacing with its error, the prediction, the scale's word, what to do. */
export function ladderText(ladder: LadderAssessment, columns: number | null = null): string {
  const lines = [
    `Spacing ladder: ${count(ladder.points.length, 'rung')}`,
    '',
    ...table(
      [
        ['spacing', 'curvature', 'astigm.', 'tilt', 'off line', 'corner blur', 'frames', 'evidence'],
        ...ladder.points.map((point) => [
          `${point.spacingMm} mm`,
          point.curvatureMicron === null
            ? DASH
            : `${plusMinusSigned(point.curvatureMicron, point.curvatureErrorMicron, 1)} µm`,
          point.astigmatismMicron === null ? DASH : `${signed(point.astigmatismMicron, 1)} µm`,
          point.tiltSpanMicron === null ? DASH : `${fixed(point.tiltSpanMicron, 0)} µm`,
          point.offLineMicron === null ? DASH : `${signed(point.offLineMicron, 1)} µm`,
          point.cornerExcessPx2 === null
            ? DASH
            : `${plusMinusSigned(point.cornerExcessPx2, point.cornerExcessErrorPx2, 2)} px²`,
          String(point.frames),
          point.evidence === 'sweep' ? 'sweep' : point.evidence === 'none' ? 'none' : 'no sweep',
        ]),
      ],
      columns,
    ),
    '',
    ...bestLines(ladder),
  ];
  const whys = ladder.points.flatMap((point) =>
    point.why === null ? [] : [`${point.spacingMm} mm: no sweep, ${point.why}`],
  );
  if (ladder.predictions.length > 0) {
    lines.push(
      '',
      'Corner stars to be expected, focus set for the centre:',
      ...table(
        [
          ['spacing', 'corner focus', 'corner FWHM', 'centre FWHM'],
          ...ladder.predictions.map((p) => [
            `${fixed(p.spacingMm, 2)} mm`,
            `${signed(p.cornerMicron, 0)} µm`,
            p.cornerFwhmArcsec === null
              ? `${fixed(p.cornerFwhmPx, 2)} px`
              : `${fixed(p.cornerFwhmArcsec, 2)}″`,
            p.cornerFwhmArcsec === null
              ? `${fixed(p.centreFwhmPx, 2)} px`
              : `${fixed((p.centreFwhmPx * p.cornerFwhmArcsec) / p.cornerFwhmPx, 2)}″`,
          ]),
        ],
        columns,
      ),
    );
  }
  lines.push('', ...scaleLines(ladder));
  const notes = [...whys, ...ladder.warnings];
  if (notes.length > 0) lines.push('', 'Look at:', ...notes.map((note) => `  - ${safeLine(note)}`));
  lines.push('', 'What to do:', ...ladder.advice.map((line) => `  - ${withSigns(line)}`));
  return `${wrapLines(lines.join('\n'), columns)}\n`;
}

function bestLines(ladder: LadderAssessment): string[] {
  const { bestSpacingMm: best, uncertaintyMm: error } = ladder;
  if (best === null) return ['Best spacing: cannot be told from this.'];
  const lines = [
    `Best spacing: ${plusMinus(best, error, 2)} mm (${ladder.evidence === 'sweeps' ? 'medial curvature crosses zero' : 'corners of single frames least soft: weaker evidence'}${ladder.bracketed ? '' : '; outside the rungs'})`,
  ];
  if (ladder.sensitivityMicronPerMm !== null) {
    lines.push(
      `This rig: ${plusMinusSigned(ladder.sensitivityMicronPerMm, ladder.sensitivityErrorMicronPerMm, 1)} µm of corner curvature per mm`,
    );
  }
  if (ladder.surfaceRatio) {
    lines.push(
      `Tangential moves ${plusMinus(ladder.surfaceRatio.value, ladder.surfaceRatio.error, 1)} times as far as sagittal (third order: 3)`,
    );
  }
  if (ladder.lineChi !== null && ladder.lineChi > 2) {
    lines.push(
      `The rungs scatter ${fixed(ladder.lineChi, 1)} times as far about the line as their errors allow: something else changed between them, or a label is wrong`,
    );
  }
  return lines;
}

function table(rows: readonly (readonly string[])[], columns: number | null): string[] {
  const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => row[c]!.length)));
  const tight = columns !== null && widths.reduce((sum, width) => sum + 2 + width, 0) > columns;
  return rows.map((row) => `  ${row.map((text, c) => text.padStart(widths[c]!)).join(tight ? ' ' : '  ')}`);
}
