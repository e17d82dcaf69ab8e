import { median, sampleStandardDeviation } from 'simple-statistics';
import type { FrameAssessment } from '../../field/types.js';
import { criticalFocusZoneMicron } from '../../optics/index.js';
import type { Measured } from '../sweep/index.js';
import { cornerExcess } from './corner-excess.js';

/** Added blur of a rung's corners, pixel^2 of moment. */
export interface RungExcess extends Measured {
  /** Scatter of the rung's focus about its best, blur disc in pixels: no frame tells it. */
  readonly focusScatterPx: number;
}

/** Frames of a rung that speak, the sharpest ones. */
const SHARPEST = 3;
/** A median of three scatters by so much more than their mean. */
const MEDIAN_LOSS = 1.16;
/** Good focusing ends within a quarter of the critical focus zone either side, half of that as often as not (common practice, no source). */
const FOCUS_PART = 1 / 8;
/** Green light, micrometres. */
const GREEN_MICRON = 0.55;
/** Focus scatter where focal ratio or pixel size are not known, blur disc in pixels: that of f/5 and 3.76 micrometres. */
const USUAL_SCATTER_PX = 0.45;

/**
 * Median excess of the sharpest frames of a rung, with the error that their own errors and their scatter give, whichever is larger. Null
 * where no frame has cells enough.
 */
export function rungExcess(frames: readonly FrameAssessment[]): RungExcess | null {
  const sharpest = [...frames]
    .sort((a, b) => (a.fwhm.px ?? Infinity) - (b.fwhm.px ?? Infinity))
    .flatMap((frame) => {
      const excess = cornerExcess(frame);
      return excess === null ? [] : [{ frame, excess }];
    })
    .slice(0, SHARPEST);
  if (sharpest.length === 0) return null;
  const values = sharpest.map(({ excess }) => excess.value);
  const own = median(sharpest.map(({ excess }) => excess.error));
  const scatter = values.length > 1 ? sampleStandardDeviation(values) : 0;
  const loss = values.length > 2 ? MEDIAN_LOSS : 1;
  return {
    value: median(values),
    error: (loss * Math.max(own, scatter)) / Math.sqrt(values.length),
    focusScatterPx: focusScatterPx(sharpest[0].frame),
  };
}

/**
 * What a rung's unknown focus error adds to the error of its excess: a surface z0 + k r^2 blurs by its square, so that a focus error z0 of
 * either sign moves the excess k^2 by 2 z0 k; in blur discs D the moment is D^2 / 16. An excess near zero may come of a curvature of twice the
 * focus error against it, so that the curvature counts for no less.
 */
export function focusError(excess: number, { focusScatterPx }: RungExcess): number {
  return (focusScatterPx * Math.sqrt(Math.max(0, excess) + focusScatterPx ** 2 / 4)) / 2;
}

function focusScatterPx({ scale }: FrameAssessment): number {
  const ratio = scale?.focalRatio ?? null;
  const pitch = scale?.pixelPitchMicron ?? null;
  if (ratio === null || pitch === null) return USUAL_SCATTER_PX;
  return (FOCUS_PART * criticalFocusZoneMicron(GREEN_MICRON, ratio)) / (ratio * pitch);
}
