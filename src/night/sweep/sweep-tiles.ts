import type { StarResponse } from './star-response.js';
import type { SweepFit } from './sweep-fit.js';
import { predictCell, type SweepPrediction } from './sweep-model.js';
import type { SweepCell, SweepData, SweepTile } from './types.js';

/** FWHM of the Gaussian with the same moment, pixels. */
export const FWHM_PER_SIGMA = 2.354820045;
/** Points of a drawn curve. */
const CURVE_POINTS = 41;
/** Width of the prior that holds a tile to the fitted surfaces, in sweep lengths: only keeps empty tiles from running away. */
const TILE_FREEDOM = 0.5;
/** Near the centre radius and tangent mean nothing: a tile there gets one height for both. */
const CENTRE_RADIUS = 0.18;

interface Datum {
  readonly frame: number;
  readonly cell: SweepCell;
  readonly outward: number;
}

/**
 * Best focus of the tangential and the sagittal surface in each part of the field, as offsets from the fitted surfaces, and the
 * sizes there against the sensor's place (brought to the sweep's mean seeing, tracking taken off).
 *
 * Seeing, tracking and disc growth are those of the whole fit; two heights are free per tile. Cells keep their own places, so frames
 * may be divided into different cells. Tiles without stars in at least three frames are left out.
 *
 * @param perUnit micrometres per unit of `outward`
 */
export function sweepTiles(
  data: SweepData,
  fit: SweepFit,
  response: StarResponse,
  perUnit: number,
): SweepTile[] {
  const aspect = data.widthPx / data.heightPx;
  const columns = aspect > 1.2 ? 5 : aspect < 0.8 ? 3 : 5;
  const rows = aspect > 1.2 ? 3 : 5;
  const diagonal = Math.hypot(data.widthPx, data.heightPx);
  const tiles: SweepTile[] = [];
  for (let row = rows - 1; row >= 0; row -= 1) {
    for (let column = 0; column < columns; column += 1) {
      const u = (((column + 0.5) / columns - 0.5) * 2 * data.widthPx) / diagonal;
      const v = (((row + 0.5) / rows - 0.5) * 2 * data.heightPx) / diagonal;
      const inside: Datum[] = data.frames.flatMap((frame, f) =>
        frame.cells
          .filter((cell) => tileOf(cell.u, data.widthPx / diagonal, columns) === column)
          .filter((cell) => tileOf(cell.v, data.heightPx / diagonal, rows) === row)
          .map((cell) => ({ frame: f, cell, outward: frame.outward })),
      );
      if (new Set(inside.map((datum) => datum.frame)).size < 3) continue;
      tiles.push(fitTile(data, fit, response, perUnit, { column, row, u, v }, inside));
    }
  }
  return tiles;
}

/** Index of the tile that a coordinate of half range `half` falls into. */
function tileOf(coordinate: number, half: number, count: number): number {
  return Math.min(count - 1, Math.max(0, Math.floor(((coordinate / half + 1) / 2) * count)));
}

function fitTile(
  data: SweepData,
  fit: SweepFit,
  response: StarResponse,
  perUnit: number,
  place: { column: number; row: number; u: number; v: number },
  inside: readonly Datum[],
): SweepTile {
  const reach = data.frames.at(-1)!.outward - data.frames[0]!.outward;
  const isCentre = Math.hypot(place.u, place.v) < CENTRE_RADIUS;
  const { offset, error, misfit } = solveOffsets(fit, response, inside, reach, isCentre);
  const r2 = place.u ** 2 + place.v ** 2;
  const plane = fit.shared[0]! + fit.shared[1]! * place.u + fit.shared[2]! * place.v;
  const at = (curvature: number, extra: number): number => (plane + curvature * r2 + extra) * perUnit;
  const centre: SweepCell = {
    ...place,
    r2,
    iso: 0,
    plus: 0,
    cross: 0,
    isoError: 1,
    shearError: 1,
    stars: 0,
    momentOverFwhm2: NaN,
  };
  const into: SweepPrediction = { iso: 0, plus: 0, cross: 0 };
  const mean = { logMoment: fit.shared[7]!, plus: 0, cross: 0 };
  const low = data.frames[0]!.outward - 0.05 * reach;
  const curve = Array.from({ length: CURVE_POINTS }, (_, i) => {
    const outward = low + (1.1 * reach * i) / (CURVE_POINTS - 1);
    predictCell(response, fit.shared, mean, centre, outward, into, offset[0], offset[1]);
    const [radial, tangential] = alongRadius(into, centre);
    return { outwardMicron: outward * perUnit, radialPx: widthOf(radial), tangentialPx: widthOf(tangential) };
  });
  const points = inside.map(({ frame, cell, outward }) => {
    const own = fit.own[frame]!;
    predictCell(response, fit.shared, own, cell, outward, into, offset[0], offset[1]);
    const seen = { iso: cell.iso - into.iso, plus: cell.plus - into.plus, cross: cell.cross - into.cross };
    // What the star would be at the tile's centre in the mean seeing, plus its residual.
    predictCell(response, fit.shared, mean, centre, outward, into, offset[0], offset[1]);
    const [missR, missT] = alongRadius(seen, cell);
    const [radial, tangential] = alongRadius(into, centre);
    const size = widthOf(into.iso);
    return {
      outwardMicron: outward * perUnit,
      radialPx: widthOf(radial + missR),
      tangentialPx: widthOf(tangential + missT),
      errorPx: (size * cell.isoError) / (2 * into.iso),
    };
  });
  return {
    ...place,
    tangential: { value: at(fit.shared[3]!, offset[0]), error: error[0] * perUnit },
    sagittal: { value: at(fit.shared[4]!, offset[1]), error: error[1] * perUnit },
    stars: mostStars(inside),
    points,
    curve,
    misfit,
  };
}

/** Stars of this part of the field in the frame that shows most. */
function mostStars(inside: readonly Datum[]): number {
  const perFrame = new Map<number, number>();
  for (const { frame, cell } of inside) perFrame.set(frame, (perFrame.get(frame) ?? 0) + cell.stars);
  return Math.max(...perFrame.values());
}

/** Moments along the radius and across it. */
function alongRadius(part: SweepPrediction, cell: SweepCell): [number, number] {
  if (cell.r2 === 0) return [part.iso, part.iso];
  const half = (part.plus * (cell.u ** 2 - cell.v ** 2) + part.cross * 2 * cell.u * cell.v) / cell.r2;
  return [part.iso + half, part.iso - half];
}

function widthOf(moment: number): number {
  return FWHM_PER_SIGMA * Math.sqrt(Math.max(0, moment));
}

/** Gauss-Newton for the two heights of one tile (one at the centre), Huber weights. */
function solveOffsets(
  fit: SweepFit,
  response: StarResponse,
  inside: readonly Datum[],
  reach: number,
  isCentre: boolean,
): { offset: [number, number]; error: [number, number]; misfit: number } {
  const offset: [number, number] = [0, 0];
  let covariance: [number, number, number] = [0, 0, 0];
  const step = 1e-3 * reach;
  const prior = 1 / (TILE_FREEDOM * reach) ** 2;
  const base: SweepPrediction = { iso: 0, plus: 0, cross: 0 };
  const moved: SweepPrediction = { iso: 0, plus: 0, cross: 0 };
  for (let round = 0; round < 12; round += 1) {
    let [aa, ab, bb] = [prior, 0, prior];
    let [ga, gb] = [-offset[0] * prior, -offset[1] * prior];
    for (const { frame, cell, outward } of inside) {
      const own = fit.own[frame]!;
      const predict = (t: number, s: number, into: SweepPrediction): void =>
        predictCell(response, fit.shared, own, cell, outward, into, t, s);
      predict(offset[0], offset[1], base);
      const keys = ['iso', 'plus', 'cross'] as const;
      predict(offset[0] + step, offset[1] + (isCentre ? step : 0), moved);
      const dT = keys.map((key) => (moved[key] - base[key]) / step);
      predict(offset[0], offset[1] + step, moved);
      const dS = isCentre ? [0, 0, 0] : keys.map((key) => (moved[key] - base[key]) / step);
      keys.forEach((key, k) => {
        const error = key === 'iso' ? cell.isoError : cell.shearError;
        const miss = cell[key] - base[key];
        const size = Math.abs(miss) / error;
        const weight = (size <= 2.5 ? 1 : 2.5 / size) / error ** 2;
        aa += weight * dT[k]! ** 2;
        ab += weight * dT[k]! * dS[k]!;
        bb += weight * dS[k]! ** 2;
        ga += weight * dT[k]! * miss;
        gb += weight * dS[k]! * miss;
      });
    }
    const determinant = aa * bb - ab * ab;
    covariance = [bb / determinant, -ab / determinant, aa / determinant];
    const limit = 0.2 * reach;
    const clamp = (value: number): number => Math.min(limit, Math.max(-limit, value));
    const moveT = clamp((bb * ga - ab * gb) / determinant);
    const moveS = isCentre ? moveT : clamp((aa * gb - ab * ga) / determinant);
    offset[0] += moveT;
    offset[1] = isCentre ? offset[0] : offset[1] + moveS;
    if (Math.abs(moveT) + Math.abs(moveS) < 1e-5 * reach) break;
  }
  const scatter = Math.sqrt(Math.max(1, fit.reducedChiSquare));
  const errorT = Math.sqrt(covariance[0]) * scatter;
  const errorS = isCentre ? errorT : Math.sqrt(covariance[2]) * scatter;
  return {
    offset,
    error: [errorT, errorS],
    misfit: Math.max(Math.abs(offset[0]) / errorT, Math.abs(offset[1]) / errorS),
  };
}
