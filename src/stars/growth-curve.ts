import type { StarWindow } from './star-window.js';

/** Flux inside circles about a star, at steps of `stepPx`: inside[k] is the flux within radius (k + 1) step; ADU. */
export interface GrowthCurve {
  readonly stepPx: number;
  readonly inside: Float64Array;
}

/**
 * Curve of growth about 0-based (x, y) out to `radiusPx`, partial pixels by sub-sampling.
 *
 * A stored pixel is the light on the sensor, pixel included, at the pixel's centre. Between the centres the light is continued by its local slope and curvature
 * (second-order Taylor expansion from the neighbouring pixels), so that a ring that cuts a pixel gets the light that lies there: spreading the value evenly over the pixel
 * would widen a star of 3 px by 3 %. Where pixels are masked (other colours of a mosaic, defects) each ring's mean stands for them.
 */
export function measureGrowth(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
  isMosaic: boolean,
): GrowthCurve {
  const steps = Math.max(48, Math.ceil(radiusPx * 4));
  const stepPx = radiusPx / steps;
  const { lines, linesAt } = window.desk;
  const ring = (line: number): Float64Array =>
    new Float64Array(lines[line].buffer, linesAt[line], steps).fill(0);
  const holes = hasHoles(window, isMosaic);
  const flux = ring(0);
  const area = ring(1);
  addRings(window, x, y, radiusPx, pedestal, isMosaic, steps, linesAt[0], holes ? linesAt[1] : 0);
  return { stepPx, inside: accumulate(flux, holes ? area : null, stepPx) };
}

/** Flux within `radiusPx` of 0-based (x, y), as the end of the curve of growth: where no pixel is missing only those at the rim need to be cut. */
export function measureFluxWithin(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
  isMosaic: boolean,
): number {
  if (hasHoles(window, isMosaic)) {
    const { inside } = measureGrowth(window, x, y, radiusPx, pedestal, isMosaic);
    return inside[inside.length - 1];
  }
  const { numbers, numbersAt } = window.desk;
  numbers[0] = 0;
  addRings(window, x, y, radiusPx, pedestal, isMosaic, 1, numbersAt, 0);
  return numbers[0];
}

/** Whether rings have to stand in for pixels that are missing by design. */
const hasHoles = (window: StarWindow, isMosaic: boolean): boolean => isMosaic || window.blanks > 0;

/** The kernel of both: light, and area where there is room for it (address not 0), of `steps` rings out to the radius. */
function addRings(
  { x0, y0, width, height, desk }: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
  isMosaic: boolean,
  steps: number,
  fluxAt: number,
  areaAt: number,
): void {
  desk.kernels.growthRings(
    desk.valuesAt,
    desk.usableAt,
    width,
    height,
    x - x0,
    y - y0,
    radiusPx,
    radiusPx / steps,
    steps,
    pedestal,
    isMosaic ? 1 : 0,
    fluxAt,
    areaAt,
  );
}

/** `area` null: no pixel is missing, and the rings' fluxes just add up. */
function accumulate(flux: Float64Array, area: Float64Array | null, stepPx: number): Float64Array {
  const inside = new Float64Array(flux.length);
  let sum = 0;
  let heldFlux = 0;
  let heldArea = 0;
  let from = 0;
  for (let k = 0; k < flux.length; k += 1) {
    if (area === null) {
      sum += flux[k];
      inside[k] = sum;
      continue;
    }
    // Rings at least 0.7 px wide, so that each holds some usable pixels.
    heldFlux += flux[k];
    heldArea += area[k];
    const r0 = from * stepPx;
    const r1 = (k + 1) * stepPx;
    const ring = Math.PI * (r1 * r1 - r0 * r0);
    const mean = heldArea > 0 ? heldFlux / heldArea : 0;
    inside[k] = sum + mean * ring;
    if (r1 - r0 >= 0.7 && heldArea > 0.15 * ring) {
      sum = inside[k];
      heldFlux = 0;
      heldArea = 0;
      from = k + 1;
    }
  }
  return inside;
}

/** Radius (px) within which the curve reaches `flux`; NaN when it never does. */
export function radiusOfFlux(curve: GrowthCurve, flux: number): number {
  let before = 0;
  for (let k = 0; k < curve.inside.length; k += 1) {
    const now = curve.inside[k];
    if (now >= flux) {
      // Between two circles flux grows with the area.
      const r0 = k * curve.stepPx;
      const r1 = r0 + curve.stepPx;
      const t = now > before ? (flux - before) / (now - before) : 0;
      return Math.sqrt(r0 * r0 + t * (r1 * r1 - r0 * r0));
    }
    before = now;
  }
  return NaN;
}

/** Flux within `radiusPx`, linear in the area between steps. */
export function fluxWithin(curve: GrowthCurve, radiusPx: number): number {
  const position = radiusPx / curve.stepPx;
  const k = Math.min(curve.inside.length - 1, Math.floor(position));
  const before = k === 0 ? 0 : curve.inside[k - 1];
  const r0 = k * curve.stepPx;
  const r1 = r0 + curve.stepPx;
  const t = Math.min(1, (radiusPx * radiusPx - r0 * r0) / (r1 * r1 - r0 * r0));
  return before + t * (curve.inside[k] - before);
}
