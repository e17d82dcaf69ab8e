import type { SweepFit } from './sweep-fit.js';
import { errorAt } from './sweep-fit.js';
import { SHARED_COUNT } from './sweep-model.js';
import type { SweepAssessment, SweepData, SweepFrame, SweepTile } from './types.js';

/** The fitted surfaces in micrometres, outwards positive. */
export interface SweepSurface {
  /** Best focus of the centre relative to the sweep's middle. */
  readonly centre: number;
  readonly centreError: number;
  readonly tiltX: number;
  readonly tiltY: number;
  readonly tiltDirectionDeg: number;
  readonly tiltDirectionErrorDeg: number;
  /** Slope along the steepest direction, micrometres per half-diagonal. */
  readonly slope: number;
  readonly slopeError: number;
  /** Highest minus lowest corner of the plane. */
  readonly span: number;
  readonly spanError: number;
  readonly tangential: number;
  readonly sagittal: number;
  readonly medial: number;
  readonly medialError: number;
  readonly astigmatism: number;
  readonly astigmatismError: number;
  /** Mean of r^2 over the sensor. */
  readonly meanR2: number;
}

/**
 * Turn the fit's parameters into the figures of the surface.
 *
 * @param perUnit micrometres per unit of `outward`
 * @param scaleError relative error of `perUnit`, which all heights share
 */
export function surfaceOf(fit: SweepFit, perUnit: number, data: SweepData, scaleError = 0): SweepSurface {
  const [B, tx, ty, kt, ks] = [0, 1, 2, 3, 4].map((k) => fit.shared[k]! * perUnit) as [
    number,
    number,
    number,
    number,
    number,
  ];
  const cov = (a: number, b: number): number => fit.covariance[a * SHARED_COUNT + b]! * perUnit ** 2;
  const diagonal = Math.hypot(data.widthPx, data.heightPx);
  const [halfU, halfV] = [data.widthPx / diagonal, data.heightPx / diagonal];
  const slope = Math.hypot(tx, ty);
  const [dx, dy] = slope > 0 ? [tx / slope, ty / slope] : [1, 0];
  const slopeVariance = dx * dx * cov(1, 1) + 2 * dx * dy * cov(1, 2) + dy * dy * cov(2, 2);
  const acrossVariance = dy * dy * cov(1, 1) - 2 * dx * dy * cov(1, 2) + dx * dx * cov(2, 2);
  const [sx, sy] = [2 * halfU * Math.sign(tx), 2 * halfV * Math.sign(ty)];
  const direction = (Math.atan2(ty, tx) * 180) / Math.PI;
  const scaled = (error: number, value: number): number => Math.hypot(error, value * scaleError);
  const span = 2 * (halfU * Math.abs(tx) + halfV * Math.abs(ty));
  const [medial, astigmatism] = [(kt + ks) / 2, (kt - ks) / 2];
  return {
    centre: B,
    centreError: scaled(errorAt(fit.covariance, 0) * perUnit, B),
    tiltX: tx,
    tiltY: ty,
    tiltDirectionDeg: (direction + 360) % 360,
    tiltDirectionErrorDeg:
      slope > 0 ? Math.min(180, (Math.atan2(Math.sqrt(acrossVariance), slope) * 180) / Math.PI) : 180,
    slope,
    slopeError: scaled(Math.sqrt(slopeVariance), slope),
    span,
    spanError: scaled(Math.sqrt(sx * sx * cov(1, 1) + 2 * sx * sy * cov(1, 2) + sy * sy * cov(2, 2)), span),
    tangential: kt,
    sagittal: ks,
    medial,
    medialError: scaled(Math.sqrt(Math.max(0, cov(3, 3) + 2 * cov(3, 4) + cov(4, 4))) / 2, medial),
    astigmatism,
    astigmatismError: scaled(Math.sqrt(Math.max(0, cov(3, 3) - 2 * cov(3, 4) + cov(4, 4))) / 2, astigmatism),
    meanR2: (halfU ** 2 + halfV ** 2) / 3,
  };
}

/** Best focus at the four corners relative to the centre (top = large y). */
export function cornersOf(surface: SweepSurface, data: SweepData): SweepAssessment['corners'] {
  const diagonal = Math.hypot(data.widthPx, data.heightPx);
  const [halfU, halfV] = [data.widthPx / diagonal, data.heightPx / diagonal];
  return (
    [
      ['top-left', -halfU, halfV],
      ['top-right', halfU, halfV],
      ['bottom-left', -halfU, -halfV],
      ['bottom-right', halfU, -halfV],
    ] as const
  ).map(([name, u, v]) => {
    const plane = surface.tiltX * u + surface.tiltY * v;
    return {
      name,
      medialMicron: plane + surface.medial,
      tangentialMicron: plane + surface.tangential,
      sagittalMicron: plane + surface.sagittal,
    };
  });
}

/** A centre that is not known to this part of the half-diagonal is not worth a figure. */
const CENTRE_KNOWN = 0.35;

/**
 * Centre about which tangential and sagittal surface part: the astigmatism of a centred system grows as the distance from its axis
 * squared, so a displaced axis adds a slope to the difference of the surfaces, which no tilt of the sensor does.
 *
 * Fitted to the tiles' height differences, t - s = 2 a (r^2 - 2 c.x); null when the astigmatism is too small to tell.
 */
export function symmetryCentre(
  frames: readonly SweepFrame[],
  fit: SweepFit,
  tiles: readonly SweepTile[],
  perUnit: number,
): SweepAssessment['centreOfSymmetry'] {
  const a2 = (fit.shared[3]! - fit.shared[4]!) * perUnit;
  if (tiles.length < 6 || frames.length < 3 || a2 === 0) return null;
  // Linear least squares for the slope of what is left of the difference.
  let [uu, uv, vv, gu, gv] = [0, 0, 0, 0, 0];
  for (const tile of tiles) {
    const r2 = tile.u ** 2 + tile.v ** 2;
    if (r2 < 0.03) continue;
    const rest = tile.tangential.value - tile.sagittal.value - a2 * r2;
    const weight = 1 / (tile.tangential.error ** 2 + tile.sagittal.error ** 2);
    uu += weight * tile.u ** 2;
    uv += weight * tile.u * tile.v;
    vv += weight * tile.v ** 2;
    gu += weight * tile.u * rest;
    gv += weight * tile.v * rest;
  }
  const determinant = uu * vv - uv * uv;
  if (!(determinant > 0)) return null;
  const slopeU = (vv * gu - uv * gv) / determinant;
  const slopeV = (uu * gv - uv * gu) / determinant;
  const error = Math.sqrt(Math.max(uu, vv) / determinant) / Math.abs(2 * a2);
  if (!(error < CENTRE_KNOWN)) return null;
  return { u: -slopeU / (2 * a2), v: -slopeV / (2 * a2), error };
}
