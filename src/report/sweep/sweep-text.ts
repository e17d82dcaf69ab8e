import type { SweepAssessment } from '../../night/sweep/index.js';
import { sideWords } from '../../optics/index.js';
import { arcsec, count, fixed, pixels, plusMinus, plusMinusSigned, signed, withSigns } from '../numbers.js';
import { safeLine } from '../sanitize.js';
import { wrapLines } from '../terminal-text.js';

const CORNER_TEXT = {
  'top-left': 'top left',
  'top-right': 'top right',
  'bottom-left': 'bottom left',
  'bottom-right': 'bottom right',
} as const;

/** A sweep as text for a terminal of `columns` (null: piped, not wrapped): the figures with their errors, the frames, then what to do. */
export function sweepText(sweep: SweepAssessment, columns: number | null = null): string {
  const { tilt, curvature, astigmatism, bestFocus, focusZone, seeing, scale } = sweep;
  const highest = sweep.corners.reduce((best, corner) =>
    corner.medialMicron > best.medialMicron ? corner : best,
  );
  const lines = [
    `Focus sweep: ${count(sweep.frames.length, 'frame')}, steps ${fixed(Math.min(...sweep.frames.map((f) => f.positionStep)), 0)} to ${fixed(Math.max(...sweep.frames.map((f) => f.positionStep)), 0)}, ${fixed(scale.micronPerStep, 2)} µm per step (${sourceText(sweep)}), larger counts move the sensor ${scale.larger}${scale.signGiven ? '' : ' (assumed)'}`,
    '',
    figure(
      'Best focus, centre',
      `step ${plusMinus(bestFocus.centreStep, bestFocus.centreErrorStep, 1)}`,
      bracketText(sweep),
    ),
    figure(
      'Best compromise',
      `step ${fixed(bestFocus.fieldStep, 0)}`,
      'smallest mean square defocus over the field',
    ),
    figure(
      'Tilt',
      `${plusMinus(tilt.spanMicron, tilt.spanErrorMicron, 1)} µm`,
      tilt.significant
        ? `farther out towards ${plusMinus(tilt.directionDeg, tilt.directionErrorDeg, 0)}° (${sideWords(tilt.directionDeg)}); ${plusMinus(tilt.angleArcmin, tilt.angleErrorArcmin, 1)}′`
        : 'not distinguishable from none',
    ),
    figure(
      'Curvature',
      `${plusMinusSigned(curvature.cornerMicron, curvature.errorMicron, 1)} µm`,
      curvature.significant
        ? `corners focus ${curvature.cornerMicron > 0 ? 'farther out' : 'farther in'} than the centre`
        : 'not distinguishable from flat',
    ),
    figure(
      'Astigmatism',
      `${plusMinusSigned(astigmatism.cornerMicron, astigmatism.errorMicron, 1)} µm`,
      '(tangential - sagittal)/2 at the corner',
    ),
    figure(
      'Highest corner',
      CORNER_TEXT[highest.name],
      `${signed(highest.medialMicron, 0)} µm against the centre`,
    ),
  ];
  if (sweep.centreOfSymmetry) {
    const { u, v, error } = sweep.centreOfSymmetry;
    lines.push(
      figure(
        'Optical centre',
        `${signed(100 * u, 0)} %, ${signed(100 * v, 0)} %`,
        `of the half-diagonal from the sensor's centre (± ${fixed(100 * error, 0)} %)`,
      ),
    );
  }
  if (focusZone) {
    lines.push(
      figure(
        'Focus zone',
        `${fixed(focusZone.totalMicron, 0)} µm`,
        `at f/${fixed(focusZone.focalRatio, 1)}, ${fixed(focusZone.wavelengthMicron, 2)} µm light: the field is ${sweep.flat ? 'flat within it' : 'not flat within it'}`,
      ),
    );
  }
  lines.push(
    figure(
      'Seeing',
      seeing.medianArcsec === null ? pixels(seeing.medianPx) : arcsec(seeing.medianArcsec),
      `fitted for each frame, varies by ${fixed(seeing.spreadPercent, 0)} %`,
    ),
    figure(
      'Fit',
      `${fixed(100 * sweep.fit.explainedVariance, 1)} %`,
      `of size and shape of ${count(sweep.fit.cells, 'star image')} explained`,
    ),
    '',
    'Spacing:',
    ...sweep.spacing.reasoning.map((reason) => `  - ${withSigns(reason)}`),
  );
  const odd = sweep.frames.filter((frame) => frame.outlier !== null);
  const trouble = [
    ...odd.map((frame) => `${frame.file}: ${frame.outlier}`),
    ...sweep.leftOut.map((frame) => `${frame.file}: left out, ${frame.why}`),
    ...sweep.tiles
      .filter((tile) => tile.misfit > 5)
      .map(
        (tile) =>
          `part of the field at column ${tile.column + 1}, row ${tile.row + 1} (from the bottom left): best focus does not follow the surfaces (${fixed(tile.misfit, 1)} errors off)`,
      ),
    ...sweep.warnings,
  ];
  if (trouble.length > 0) lines.push('', 'Look at:', ...trouble.map((line) => `  - ${safeLine(line)}`));
  lines.push('', 'What to do:', ...sweep.advice.map((line) => `  - ${withSigns(line)}`));
  return `${wrapLines(lines.join('\n'), columns)}\n`;
}

function figure(name: string, value: string, comment: string): string {
  return `  ${name.padEnd(19)} ${value.padEnd(20)} ${comment}`.trimEnd();
}

function sourceText(sweep: SweepAssessment): string {
  const { micronPerStepSource } = sweep.scale;
  if (micronPerStepSource === 'option') return 'given';
  return micronPerStepSource === 'header' ? 'from the header' : 'from the growth of the stars';
}

function bracketText(sweep: SweepAssessment): string {
  const { bracketed } = sweep.bestFocus;
  if (bracketed === 'yes') return 'bracketed by the sweep';
  return bracketed === 'centre-only' ? 'bracketed; some corners are not' : 'NOT bracketed by the sweep';
}
