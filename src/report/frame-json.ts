import type { FrameAssessment } from '../field/types.js';
import type { JudgedFrame } from '../night/types.js';

/** Seven figures are more than any measurement here holds, and keep documents short and equal from machine to machine. */
export function tidyNumbers<T>(value: T): T {
  if (typeof value === 'number') {
    return (Number.isFinite(value) ? Number(value.toPrecision(7)) : null) as T;
  }
  if (Array.isArray(value)) return value.map(tidyNumbers) as T;
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, tidyNumbers(part)])) as T;
  }
  return value;
}

/**
 * A frame as it stands in JSON documents: an entry of `frames` of `starassay/night@1`, also alone for `measure` and `watch`.
 *
 * Null: could not be measured, `unmeasured` says why by dotted name. What only a night can say (`group` to `causes`) is left out of a frame
 * that was measured alone. Pictures and registration stars are left out; `field.cells` is only there for a frame measured alone.
 */
export function frameJson(frame: FrameAssessment | JudgedFrame): Record<string, unknown> {
  const judged = 'decision' in frame ? frame : null;
  return tidyNumbers({
    file: frame.file,
    path: frame.path,
    fileBytes: frame.fileBytes,
    ...(judged && { group: judged.group }),
    header: frame.header,
    image: frame.image,
    /** Arcseconds per stored pixel and where that came from; null when the header tells nothing. */
    scale: frame.scale,
    orientation: frame.orientation,
    stars: frame.stars,
    /** Field-balanced medians over stars, of the image on the sensor, pixel included; `standardError` in pixels. */
    fwhm: frame.fwhm,
    hfd: frame.hfd,
    elongation: frame.elongation,
    elongationError: frame.elongationError,
    beta: frame.beta,
    /** Degrees counter-clockwise from +x towards +y, axis in [0, 180); `skyAngleDeg` from north through east. */
    trail: frame.trail,
    /** ADU in the file's physical units. */
    background: frame.background,
    limitingFlux: frame.limitingFlux,
    ...(judged && {
      /** Light per second of the same stars, relative to the best frames of this filter and gain. */
      transparency: judged.transparency,
      /** (T / (noise x FWHM))^2 relative to the best frame of the group. */
      weight: judged.weight,
      /** X = scale * R(rotationDeg) * x + (dxPx, dyPx), pixels of the field's reference frame. */
      registration: judged.registration,
    }),
    field: judged ? fieldWithoutCells(frame) : frame.field,
    streaks: frame.streaks,
    ...(judged && {
      blur: judged.blur,
      decision: judged.decision,
      /** A rejected frame: the limits it broke, worst first. A kept one: the figure that came nearest to its limit. */
      reasons: judged.reasons,
      causes: judged.causes,
    }),
    warnings: frame.warnings,
    unmeasured: frame.unmeasured,
    elapsedMs: frame.elapsedMs,
  });
}

function fieldWithoutCells({ field }: FrameAssessment): Record<string, unknown> {
  return {
    tilt: field.tilt,
    curvaturePercent: field.curvaturePercent,
    curvatureErrorPercent: field.curvatureErrorPercent,
    radial: field.radial,
    radialError: field.radialError,
    corners: field.corners,
    columns: field.columns,
    rows: field.rows,
  };
}
