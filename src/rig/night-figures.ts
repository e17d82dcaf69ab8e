import { median, medianAbsoluteDeviation } from 'simple-statistics';
import type { OpticalState } from '../night/types.js';
import { focusLaw } from './focus-law.js';
import type { FrameRow } from './frame-row.js';
import type { MetricCode, NightFigure } from './types.js';
import { atZenith } from './zenith.js';

/** The joint fit of a night as the history keeps it, with the size of the sensor. */
export interface RecordedOptics extends Pick<
  OpticalState,
  'frames' | 'explainedVariance' | 'unit' | 'tilt' | 'curvature' | 'astigmatism' | 'coma' | 'signsKnown'
> {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** FWHM of a Gaussian over its standard deviation. */
const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.LN2);

/** Figures of the night's joint fit: the same whatever the filter. */
export const jointFitMetrics: readonly MetricCode[] = [
  'tilt',
  'tilt-x',
  'tilt-y',
  'curvature',
  'astigmatism',
  'coma-centre',
  'focus-law',
];

/** Fewer frames than this give no night figure. */
const FEWEST_FRAMES = 3;

/**
 * Figures of a night's joint fit and focus series; in micrometres only (a fit without focal ratio and pitch has none).
 * `optics` null: no fit. A figure that could not be measured is left out.
 */
export function opticsFigures(optics: RecordedOptics | null, rows: readonly FrameRow[]): NightFigure[] {
  const figures: NightFigure[] = [];
  const add = (metric: MetricCode, value: number, error: number | null, frames: number) => {
    if (Number.isFinite(value)) figures.push({ metric, value, spread: null, error, frames });
  };
  if (optics?.unit === 'micron') {
    const { tilt, curvature, astigmatism, frames } = optics;
    if (tilt) {
      const angle = (tilt.directionDeg * Math.PI) / 180;
      add('tilt', tilt.span, tilt.spanError, frames);
      add('tilt-x', tilt.span * Math.cos(angle), tilt.spanError, frames);
      add('tilt-y', tilt.span * Math.sin(angle), tilt.spanError, frames);
    }
    // Without focus diversity only the size is known, and a series of sizes with guessed signs would jump.
    if (optics.signsKnown && curvature) add('curvature', curvature.corner, curvature.error, frames);
    if (optics.signsKnown && astigmatism) add('astigmatism', astigmatism.corner, astigmatism.error, frames);
  }
  if (optics?.coma) {
    const { centreX, centreY } = optics.coma;
    const [width, height] = [optics.widthPx, optics.heightPx];
    const off = Math.hypot(centreX - (width + 1) / 2, centreY - (height + 1) / 2);
    add('coma-centre', (100 * off) / (Math.hypot(width, height) / 2), null, optics.frames);
  }
  if (optics?.signsKnown) {
    const law = focusLaw(rows);
    if (law) add('focus-law', law.micronPerKelvin, law.error, law.frames);
  }
  return figures;
}

/** Figures of a night that are medians over its frames, with spread and standard error; those with fewer than three frames are left out. */
export function frameFigures(rows: readonly FrameRow[]): NightFigure[] {
  const axesKnown = rows.some((row) => row.trailSkyAngleDeg !== null || row.trailAxis !== null);
  const figures: NightFigure[] = [];
  for (const [metric, figure] of Object.entries(perFrame) as [MetricCode, PerFrame][]) {
    const values = rows.flatMap((row) => {
      const value = figure(row, axesKnown);
      return value !== null && Number.isFinite(value) ? [value] : [];
    });
    if (values.length < FEWEST_FRAMES) continue;
    const spread = 1.4826 * medianAbsoluteDeviation(values);
    // Standard error of a median of normal values: sqrt(pi / 2) times that of the mean.
    const error = (Math.sqrt(Math.PI / 2) * spread) / Math.sqrt(values.length);
    figures.push({ metric, value: median(values), spread, error, frames: values.length });
  }
  if (rows.length >= FEWEST_FRAMES) {
    const kept = rows.filter((row) => row.kept === 1).length / rows.length;
    const error = 100 * Math.sqrt((kept * (1 - kept)) / rows.length);
    figures.push({ metric: 'keep-rate', value: 100 * kept, spread: null, error, frames: rows.length });
  }
  return figures;
}

type PerFrame = (row: FrameRow, axesKnown: boolean) => number | null;

const perFrame: Partial<Record<MetricCode, PerFrame>> = {
  'tilt-fwhm': (row) => row.tiltSpanPercent,
  tracking: (row) => row.trackingArcsec,
  'guiding-ra': (row, axesKnown) => guiding(row, axesKnown, 'ra'),
  'guiding-dec': (row, axesKnown) => guiding(row, axesKnown, 'dec'),
  elongation: (row) => row.elongation,
  'focus-blur': (row) => row.focusArcsec,
  'rig-blur': rigBlur,
  scale: (row) =>
    row.scaleSource === 'wcs' && row.arcsecPerPx !== null ? row.arcsecPerPx / (row.binning ?? 1) : null,
  'focal-length': (row) => (row.scaleSource === 'wcs' ? row.focalLengthMm : null),
  'fwhm-zenith': (row) => broughtToZenith(row.fwhmArcsec, row.airmass),
  'seeing-zenith': (row) => broughtToZenith(row.seeingArcsec, row.airmass),
  'sky-brightness': skyBrightness,
};

function broughtToZenith(width: number | null, airmass: number | null): number | null {
  return width === null || airmass === null ? null : atZenith(width, airmass);
}

/** Share of the tracking blur along one axis of the sky; a blur without a common direction is shared equally. */
function guiding(row: FrameRow, axesKnown: boolean, axis: 'ra' | 'dec'): number | null {
  if (row.trackingArcsec === null) return null;
  const rms = row.trackingArcsec / FWHM_PER_SIGMA;
  if (row.trailSkyAngleDeg !== null) {
    // Position angle from north: declination runs along 0 degrees, right ascension along 90.
    const angle = (row.trailSkyAngleDeg * Math.PI) / 180;
    return rms * Math.abs(axis === 'ra' ? Math.sin(angle) : Math.cos(angle));
  }
  if (row.trailAxis !== null) return row.trailAxis === axis ? rms : 0;
  return axesKnown && row.trailAngleDeg === null ? rms / Math.SQRT2 : null;
}

function rigBlur(row: FrameRow): number | null {
  const parts = [row.focusArcsec, row.tiltArcsec, row.curvatureArcsec, row.comaArcsec, row.trackingArcsec];
  if (row.trackingArcsec === null || row.focusArcsec === null) return null;
  return Math.hypot(...parts.map((part) => part ?? 0));
}

/** Electrons of sky per second and square arcsecond from the background noise: photon noise is its own pedestal-free meter. */
function skyBrightness(row: FrameRow): number | null {
  const { noise, electronsPerAdu, exposureSeconds, arcsecPerPx, readNoiseElectrons } = row;
  if (noise === null || electronsPerAdu === null || !exposureSeconds || !arcsecPerPx) return null;
  const electrons = (noise * electronsPerAdu) ** 2 - (readNoiseElectrons ?? 0) ** 2;
  return electrons > 0 ? electrons / exposureSeconds / arcsecPerPx ** 2 : null;
}
