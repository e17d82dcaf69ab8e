import { medianInPlace } from '../stats/index.js';
import { choosePixels } from './chosen-pixels.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameFits } from './fit-stars.js';
import type { MoffatFit } from './moffat-fit.js';
import type { FrameSetting } from './frame-setting.js';
import { measureHalfFlux } from './half-flux.js';
import { emptyColumns, sortedTable, type StarColumns } from './star-columns.js';
import { StarFlag, type StarTable } from './types.js';
import { halfFluxOverWidth, isNarrow } from './profile-half-flux.js';
import { misfitFactors } from './misfit-factor.js';
import { learnWings } from './learn-wings.js';
import { pixelNodes } from './moffat-profile.js';
import { weightedShape, type WeightedShape } from './weighted-shape.js';

/** Exponent written for profiles that are Gaussian or end more abruptly. */
const LARGEST_BETA = 40;

/** Put everything measured into one table, brightest first; see `StarTable` for the meaning and unit of each column. */
export function makeStarTable(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  frame: FrameFits,
  calibrators: readonly number[],
): StarTable {
  const wings = learnWings(setting, looks, calibrators, frame);
  const ratio = isNarrow(setting) ? halfFluxOverWidth(setting, looks, calibrators, frame, wings) : null;
  // Of the fitted width; the table's is corrected for the core.
  const narrow =
    ratio === null ? null : ratio.overWidth / Math.sqrt(frame.correction.major * frame.correction.minor);
  const columns = emptyColumns(looks.length);
  columns.fwhmSharedError = frame.sharedError;
  const toFit = momentScale(looks, frame);
  const { photonFactor } = frame;
  const nodes = pixelNodes(frame.order);
  const lit = litByThemselves(looks, frame);
  const perTotal: number[] = [];
  const widened = misfitFactors([...frame.fits.values()]);
  for (let k = 0; k < looks.length; k += 1) {
    const look = looks[k];
    const { moments } = look;
    const star = frame.fits.get(k);
    columns.flags[k] = look.flags;
    columns.x[k] = setting.sources.x[look.source];
    columns.y[k] = setting.sources.y[look.source];
    columns.flux[k] = setting.sources.flux[look.source];
    columns.snr[k] = setting.sources.snr[look.source];
    columns.peak[k] = look.peak;
    columns.background[k] = look.sky + look.pedestal;
    columns.beta[k] = star === undefined ? NaN : 1 / Math.max(1 / LARGEST_BETA, star.shape.gamma);
    if (moments === null) continue;
    columns.x[k] = (star?.x ?? moments.x) + 1;
    columns.y[k] = (star?.y ?? moments.y) + 1;
    columns.mxx[k] = moments.mxx;
    columns.mxy[k] = moments.mxy;
    columns.myy[k] = moments.myy;
    columns.mError[k] = moments.mError;
    columns.skewX[k] = moments.skewX;
    columns.skewY[k] = moments.skewY;
    columns.skewError[k] = moments.skewError;
    columns.snr[k] = moments.flux / moments.fluxError;
    if (star !== undefined) writeFit(columns, k, star, frame, widened.of(star));
    else writeFromMoments(columns, k, look, toFit, widened.typical);
    const reach = wings.reachPx(moments);
    if (reach > 6 * setting.widthPx) continue;
    openWindow(setting, look.source, columns.x[k], columns.y[k], reach + 1);
    if (star !== undefined && lit.has(k)) {
      const pixels = choosePixels(setting.window, star.x, star.y, reach, look.pedestal);
      writeAxis(
        columns,
        k,
        star,
        weightedShape(pixels, star, {
          noise: look.noise,
          pedestalError: look.pedestalError,
          nodes,
          photonFactor,
        }),
        widened.of(star),
      );
    }
    const half = measureHalfFlux(setting.window, columns.x[k] - 1, columns.y[k] - 1, {
      reachPx: reach,
      pedestal: look.pedestal,
      pedestalError: look.pedestalError,
      totalOverReach: wings.totalOverReference,
      skyLevelPerFlux: wings.skyLevel / ((moments.mxx + moments.myy) / 2),
      photonFactor,
      isMosaic: setting.isMosaic,
      isFluxOnly: narrow !== null,
    });
    if (half.perTotal > 0) perTotal.push(half.perTotal);
    columns.flux[k] = half.totalFlux > 0 ? half.totalFlux : columns.flux[k];
    columns.hfd[k] = narrow === null ? half.diameter : narrow * columns.fwhm[k];
    columns.hfdError[k] = narrow === null ? half.error : narrow * columns.fwhmError[k];
  }
  const grown = perTotal.length === 0 ? 0 : wings.totalError * medianInPlace(perTotal);
  columns.hfdSharedError = ratio?.error ?? grown;
  return sortedTable(columns);
}

function writeFit(columns: StarColumns, k: number, star: MoffatFit, frame: FrameFits, widened: number): void {
  // The width is that of the light itself (core correction); the shape is the fit's, as the elongation is defined.
  const { major, minor } = star;
  const fwhm = Math.sqrt(major * minor) * frame.widthFactor;
  const ellipticity = (major * major - minor * minor) / (major * major + minor * minor);
  const { a, b, c } = star.shape;
  const v = star.shapeCovariance.map((c) => c * widened * widened);
  // ln FWHM = -ln(ac - b^2) / 4 + ...; e1 = (c - a)/(a + c), e2 = -2b/(a + c).
  const g = [c, -2 * b, a];
  let sizeVariance = 0;
  for (let i = 0; i < 3; i += 1) for (let j = 0; j < 3; j += 1) sizeVariance += g[i] * v[3 * i + j] * g[j];
  const sum = a + c;
  const d1 = [(-2 * c) / sum ** 2, 0, (2 * a) / sum ** 2];
  const d2 = [(2 * b) / sum ** 2, -2 / sum, (2 * b) / sum ** 2];
  let e1Variance = 0;
  let e2Variance = 0;
  for (let i = 0; i < 3; i += 1) {
    for (let j = 0; j < 3; j += 1) {
      e1Variance += d1[i] * v[3 * i + j] * d1[j];
      e2Variance += d2[i] * v[3 * i + j] * d2[j];
    }
  }
  const damping = dampingOf(star);
  columns.fwhm[k] = fwhm;
  columns.fwhmError[k] = (damping * fwhm * Math.sqrt(Math.max(0, sizeVariance))) / (4 * (a * c - b * b));
  const eError = damping * Math.sqrt(Math.max(0, (e1Variance + e2Variance) / 2));
  writeEllipticity(
    columns,
    k,
    ellipticity * Math.cos(2 * star.angle),
    ellipticity * Math.sin(2 * star.angle),
    eError,
  );
  if (!star.converged) columns.flags[k] |= StarFlag.FitFailed;
}

/** With the pixel in the model the shape on the sensor follows the optical one only in part. */
function dampingOf({ major, minor, shape: { a, b, c } }: MoffatFit): number {
  return Math.min(1, 4 / Math.sqrt(a * c - b * b) / (major * minor));
}

/** A star's photons add this part to the noise of the sky at its peak before weights that follow them gain something; and so many of the brightest hold nearly all there is to gain. */
const OWN_NOISE = 1;
const MOST_WEIGHTED = 80;

/** The clean fitted stars, by position in `looks`, whose own light makes most of their noise. */
function litByThemselves(
  looks: readonly FirstLook[],
  { fits, photonFactor }: FrameFits,
): ReadonlySet<number> {
  const lit = [...fits].filter(
    ([k, star]) => looks[k].flags === 0 && photonFactor * star.peak > OWN_NOISE * looks[k].noise ** 2,
  );
  lit.sort(([, a], [, b]) => b.peak - a.peak);
  return new Set(lit.slice(0, MOST_WEIGHTED).map(([k]) => k));
}

function writeAxis(
  columns: StarColumns,
  k: number,
  star: MoffatFit,
  shape: WeightedShape | null,
  widened: number,
): void {
  if (shape === null) return;
  const damping = dampingOf(star);
  columns.axis1[k] = damping * shape.e1;
  columns.axis2[k] = damping * shape.e2;
  columns.axisError[k] = widened * damping * shape.error;
}

/** Elongation from the ellipticity with the noise's share taken off: |e|^2 of noise alone averages 2 eError^2. */
function writeEllipticity(columns: StarColumns, k: number, e1: number, e2: number, eError: number): void {
  columns.e1[k] = e1;
  columns.e2[k] = e2;
  columns.eError[k] = eError;
  columns.axis1[k] = e1;
  columns.axis2[k] = e2;
  columns.axisError[k] = eError;
  const e = Math.min(0.98, Math.sqrt(Math.max(0, e1 * e1 + e2 * e2 - 2 * eError * eError)));
  columns.elongation[k] = Math.sqrt((1 + e) / (1 - e));
  columns.angleDeg[k] = ((Math.atan2(e2, e1) * 90) / Math.PI + 180) % 180;
}

/** Fitted over moment width, and fitted over moment ellipticity, medians over the fitted stars: brings unfitted stars to the same scale. */
function momentScale(looks: readonly FirstLook[], frame: FrameFits): { width: number; ellipticity: number } {
  const ratios: number[] = [];
  let product = 0;
  let square = 0;
  for (const [k, star] of frame.fits) {
    const { moments, flags } = looks[k];
    if (moments === null || flags !== 0) continue;
    const fwhm = Math.sqrt(star.major * star.minor) * frame.widthFactor;
    ratios.push(fwhm / (moments.mxx * moments.myy - moments.mxy ** 2) ** 0.25);
    const trace = moments.mxx + moments.myy;
    const e = Math.hypot(moments.mxx - moments.myy, 2 * moments.mxy) / trace;
    const r = star.major / star.minor;
    product += (e * (r * r - 1)) / (r * r + 1);
    square += e * e;
  }
  return {
    width: ratios.length > 0 ? medianInPlace(ratios) : 2.3548,
    ellipticity: square > 0.0025 * ratios.length ? Math.max(0.7, Math.min(1.4, product / square)) : 1,
  };
}

function writeFromMoments(
  columns: StarColumns,
  k: number,
  look: FirstLook,
  scale: { width: number; ellipticity: number },
  widened: number,
): void {
  const { moments } = look;
  if (moments === null) return;
  const trace = moments.mxx + moments.myy;
  columns.fwhm[k] = scale.width * (moments.mxx * moments.myy - moments.mxy ** 2) ** 0.25;
  columns.fwhmError[k] = (widened * columns.fwhm[k] * moments.mError) / trace;
  writeEllipticity(
    columns,
    k,
    (scale.ellipticity * (moments.mxx - moments.myy)) / trace,
    (scale.ellipticity * 2 * moments.mxy) / trace,
    (widened * 2 * moments.mError) / trace,
  );
}
