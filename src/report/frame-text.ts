import type { CornerFigure, FrameAssessment, TiltFigure } from '../field/types.js';
import { sideWords } from '../optics/index.js';
import {
  DASH,
  adu,
  arcsec,
  clock,
  count,
  day,
  degrees,
  isSure,
  percent,
  pixels,
  plusMinusSigned,
  ratio,
  signed,
  whole,
  withError,
} from './numbers.js';
import { safeText } from './sanitize.js';

/** Stars this round show an axis that can be measured, but no trail that anybody would see. */
const NO_TRAIL = 1.05;

/**
 * One frame in full, as text for a person: header, star figures, sky, pattern over the sensor, and why a figure is missing.
 */
export function frameText(frame: FrameAssessment): string {
  const { header, scale } = frame;
  const lines: string[] = [];
  const row = (name: string, value: string): void =>
    void lines.push(`  ${name.padEnd(15)}${safeText(value)}`);
  const known = (parts: readonly (string | null)[]): string =>
    parts.filter((part) => part !== null && part !== '').join('  ');
  const both = (figure: { px: number | null; arcsec: number | null; standardError: number | null }): string =>
    known([
      withError(figure.px, figure.standardError, 'px'),
      figure.arcsec === null ? null : arcsec(figure.arcsec),
    ]);

  lines.push(safeText(frame.file));
  row(
    'image',
    known([
      `${frame.image.widthPx} × ${frame.image.heightPx} px`,
      frame.image.mosaic && `colour mosaic ${frame.image.mosaic}, green sites measured`,
    ]),
  );
  row(
    'exposure',
    known([
      header.object,
      header.filter && `filter ${header.filter}`,
      header.exposureSeconds === null ? null : `${header.exposureSeconds} s`,
      header.dateObs && `${day(header.dateObs)} ${clock(header.dateObs)} UTC`,
    ]) || 'nothing in the header',
  );
  row(
    'plate scale',
    scale
      ? known([
          `${scale.arcsecPerPx.toFixed(4)} ″/px`,
          `from ${scale.source}`,
          scale.focalLengthMm === null ? null : `${scale.focalLengthMm.toFixed(1)} mm`,
          scale.focalRatio === null ? null : `f/${scale.focalRatio.toFixed(2)}`,
        ])
      : 'unknown: give --scale ARCSEC_PER_PX for sizes in arcseconds',
  );
  lines.push('');
  row(
    'stars',
    `${frame.stars.detected} detected, ${frame.stars.measured} measured, ${frame.stars.saturated} saturated`,
  );
  row(
    'no stars',
    `${count(frame.stars.hotPixels, 'hot pixel')}, ${count(frame.stars.cosmicRays, 'cosmic ray')}`,
  );
  row('FWHM', both(frame.fwhm));
  row('HFD', both(frame.hfd));
  row('elongation', withError(frame.elongation, frame.elongationError));
  row(
    'trail',
    frame.trail.angleDeg === null
      ? 'no common axis could be told'
      : known([
          (frame.elongation ?? 1) < NO_TRAIL ? 'next to none' : null,
          `axis ${degrees(frame.trail.angleDeg)}`,
          `coherence ${ratio(frame.trail.coherence)}`,
          frame.trail.skyAngleDeg === null ? null : `position angle ${degrees(frame.trail.skyAngleDeg)}`,
          frame.trail.axis && `along ${frame.trail.axis === 'ra' ? 'right ascension' : 'declination'}`,
        ]),
  );
  for (const streak of frame.streaks)
    row(
      'streak',
      `${whole(streak.lengthPx)} px long at ${degrees(streak.angleDeg)}, from (${whole(streak.x1)}, ${whole(streak.y1)}) to (${whole(streak.x2)}, ${whole(streak.y2)})`,
    );
  row(
    'sky',
    known([
      `level ${adu(frame.background.level)} ADU`,
      `noise ${adu(frame.background.noise)} ADU`,
      `gradient ${percent(frame.background.gradientPercent)} towards ${degrees(frame.background.gradientDirectionDeg)}`,
    ]),
  );
  lines.push('');
  const { field } = frame;
  row(
    'FWHM slope',
    field.tilt
      ? `${withError(field.tilt.fwhmSpanPercent, field.tilt.fwhmSpanErrorPercent, '%')} over the sensor, ${slopeDirection(field.tilt)}`
      : 'cannot be told',
  );
  row('corners', cornersWords(field));
  for (const corner of field.corners) row(`  ${corner.name}`, cornerWords(corner));

  const reasons = Object.entries(frame.unmeasured);
  if (reasons.length > 0) lines.push('', '  not measured:');
  for (const [figure, reason] of reasons) row(`  ${figure}`, reason);
  if (frame.warnings.length > 0) lines.push('', '  warnings:');
  for (const warning of frame.warnings) lines.push(`    ${safeText(warning)}`);
  return lines.join('\n');
}

function slopeDirection({ fwhmSpanPercent, fwhmSpanErrorPercent, directionDeg }: TiltFigure): string {
  return isSure(fwhmSpanPercent, fwhmSpanErrorPercent)
    ? `softer towards ${degrees(directionDeg)} (${sideWords(directionDeg)})`
    : 'not significant';
}

/** The corners together against the centre; only what could be measured. */
function cornersWords(field: FrameAssessment['field']): string {
  const parts = [
    field.curvaturePercent === null
      ? null
      : `fitted to all four: FWHM ${againstCentre(field.curvaturePercent, field.curvatureErrorPercent)}`,
    field.radial === null
      ? null
      : `radial elongation ${plusMinusSigned(field.radial, field.radialError, 3)}${isSure(field.radial, field.radialError) ? '' : ' (not significant)'}`,
  ].filter((part) => part !== null);
  return parts.length === 0 ? 'cannot be told' : parts.join(', ');
}

function againstCentre(percentMore: number, error: number | null): string {
  return isSure(percentMore, error)
    ? `${withError(Math.abs(percentMore), error, '%')} ${percentMore > 0 ? 'above' : 'below'} the centre`
    : `as in the centre (${withError(percentMore, error, '%')}: not significant)`;
}

/** One corner; only what could be measured. */
function cornerWords({ fwhm, elongation, angleDeg, radial, stars }: CornerFigure): string {
  const parts = [
    pixels(fwhm),
    elongation === null
      ? DASH
      : `elongation ${ratio(elongation)}${angleDeg === null ? '' : ` at ${degrees(angleDeg)}`}`,
    radial === null ? DASH : `radial ${signed(radial, 2)}`,
  ].filter((part) => part !== DASH);
  return parts.length === 0 ? `too few stars (${stars})` : [...parts, count(stars, 'star')].join('  ');
}
