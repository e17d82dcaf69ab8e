import type { PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';
import { medianInPlace, groupedNormalCore } from '../stats/index.js';
import { fillHoles, rejectOutlyingTiles, sharpenTiles, smoothTiles } from './background-surface.js';
import { pixelQuantum } from './quantum.js';
import { skyGradient } from './sky-gradient.js';
import { QUIET_ABOVE, readerOf, type TileReader } from './tile-reader.js';
import { makeTileSampler, type TileSampler } from './tile-sampler.js';
import type { BackgroundMap } from './types.js';
import { wholeReader } from './whole-reader.js';

/** Sample of a tile that carries enough pixels for a level. */
const MIN_SAMPLES = 24;
/** Noise below this many rounding steps: the values' steps themselves must be modelled. */
const COARSE_ROUNDING = 2;
/** Noise below this many steps: samples are dithered. */
const DITHERED = 8;
/** Noise of this many steps: samples in whole numbers will do (level good to a hundredth of the noise, noise to 0.3 %). */
const FINE_STEPS = 3;
/** Tiles smaller than this are sampled pixel by pixel. */
const SMALLEST_FOR_WHOLE = 48;
/** More tiles than this need no places between them. */
const MANY_TILES = 400;

/**
 * Sky level and noise of a frame, tile by tile, ADU; stars and their wings are kept out.
 *
 * Two passes over a thinned sample of pixels: a coarse level per tile (normal core of the pixels where starlight hardly reaches, below +0.8 sd), outlying tiles
 * replaced; then, in the residuals to that surface (so that a gradient inside a tile is not taken for noise), the normal core of those pixels whose surroundings are dark.
 * On a colour mosaic the green sites count. The noise is the standard deviation of a stored pixel, quantisation included.
 * A plane without any finite pixel gives NaN levels and noise.
 */
export function measureBackground(plane: PixelPlane, tileSizePx = chooseTileSize(plane)): BackgroundMap {
  const columns = Math.max(1, Math.round(plane.width / tileSizePx));
  const rows = Math.max(1, Math.round(plane.height / tileSizePx));
  const bounds = (i: number, j: number): [number, number, number, number] => [
    i * tileSizePx,
    j * tileSizePx,
    i === columns - 1 ? plane.width : (i + 1) * tileSizePx,
    j === rows - 1 ? plane.height : (j + 1) * tileSizePx,
  ];
  const quantum = pixelQuantum(plane);
  const tiles = { columns, rows, bounds };
  const canBeWhole = plane.data instanceof Uint16Array && tileSizePx >= SMALLEST_FOR_WHOLE;
  let coarse = canBeWhole ? coarseLevels(wholeReader(plane, tileSizePx), tiles) : null;
  const isWhole = coarse !== null && medianOf(coarse.noise) >= FINE_STEPS * quantum;
  if (coarse === null || !isWhole)
    coarse = coarseLevels(readerOf(ditheredSampler(plane, tileSizePx, quantum)), tiles);
  let surface = fillHoles({ columns, rows, values: coarse.level });
  const noiseGuess = medianOf(coarse.noise);
  surface = rejectOutlyingTiles(
    { columns, rows, values: surface },
    Math.max(3 * noiseGuess, 0.02 * Math.abs(medianOf(surface))),
  );

  const isCoarselyRounded = quantum > 0 && noiseGuess < COARSE_ROUNDING * quantum;
  // Where the steps show but need not be modelled, dither blurs them; its variance is taken off again.
  const dither = !isCoarselyRounded && noiseGuess < DITHERED * quantum ? quantum : 0;
  const sampler = isWhole ? null : residualSampler(plane, tileSizePx, dither);
  const reader = sampler === null ? wholeReader(plane, tileSizePx, noiseGuess) : readerOf(sampler);
  const level = new Float64Array(columns * rows).fill(NaN);
  const noise = new Float64Array(columns * rows).fill(NaN);
  const map = { tileSizePx, columns, rows };
  for (let j = 0; j < rows; j += 1) {
    for (let i = 0; i < columns; i += 1) {
      const k = j * columns + i;
      const core =
        sampler !== null && isCoarselyRounded
          ? roundedCore(sampler, bounds(i, j), quantum, { mean: surface[k], sd: noiseGuess })
          : residualCore(reader, bounds(i, j), map, surface, i, j, coarse.noise[k]);
      if (core === null) continue;
      level[k] = core.mean;
      noise[k] = Math.sqrt(Math.max(core.sd ** 2 - dither ** 2 / 12, 0));
    }
  }
  return finish(plane, map, level, noise);
}

/** 128 px on large frames, smaller where that would leave fewer than about eight tiles along the short side. */
function chooseTileSize(plane: PixelPlane): number {
  const short = Math.min(plane.width, plane.height);
  if (short >= 1500) return 128;
  if (short >= 400) return 64;
  return Math.max(16, Math.min(64, Math.ceil(short / 4)));
}

interface Tiles {
  readonly columns: number;
  readonly rows: number;
  readonly bounds: (i: number, j: number) => [number, number, number, number];
}

interface CoarseTiles {
  readonly level: Float64Array;
  readonly noise: Float64Array;
}

function ditheredSampler(plane: PixelPlane, tileSizePx: number, quantum: number): TileSampler {
  const columnStep = tileSizePx >= 96 ? 4 : tileSizePx >= 48 ? 2 : 1;
  return makeTileSampler(plane, tileSizePx, tileSizePx >= 96 ? 11 : 3, columnStep, quantum);
}

function residualSampler(plane: PixelPlane, tileSizePx: number, dither: number): TileSampler {
  const step = tileSizePx >= 96 ? { rows: 5, columns: 2 } : { rows: 1, columns: 1 };
  return makeTileSampler(plane, tileSizePx, step.rows, step.columns, dither);
}

function coarseLevels(reader: TileReader, { columns, rows, bounds }: Tiles): CoarseTiles {
  const level = new Float64Array(columns * rows).fill(NaN);
  const noise = new Float64Array(columns * rows).fill(NaN);
  for (let j = 0; j < rows; j += 1) {
    for (let i = 0; i < columns; i += 1) {
      const { n, median, sd, coreMean, used } = reader.coarse(...bounds(i, j));
      if (n < MIN_SAMPLES) continue;
      // In a crowd the median itself stands on starlight.
      const isSane = used >= n / 4 && coreMean < median && coreMean > median - sd;
      level[j * columns + i] = isSane ? coreMean : median;
      noise[j * columns + i] = sd;
    }
  }
  return { level, noise };
}

function residualCore(
  reader: TileReader,
  bounds: readonly [number, number, number, number],
  map: { readonly tileSizePx: number; readonly columns: number; readonly rows: number },
  surface: Float64Array,
  i: number,
  j: number,
  sd: number,
): { readonly mean: number; readonly sd: number } | null {
  // Slopes over this tile from its neighbours: central differences, one-sided at the border.
  const left = Math.max(0, i - 1);
  const right = Math.min(map.columns - 1, i + 1);
  const down = Math.max(0, j - 1);
  const up = Math.min(map.rows - 1, j + 1);
  const gx =
    right > left ? (surface[j * map.columns + right] - surface[j * map.columns + left]) / (right - left) : 0;
  const gy = up > down ? (surface[up * map.columns + i] - surface[down * map.columns + i]) / (up - down) : 0;
  const sx = gx / map.tileSizePx;
  const sy = gy / map.tileSizePx;
  const half = (map.tileSizePx - 1) / 2;
  const atCorner = surface[j * map.columns + i] - half * (sx + sy);
  if (!(sd > 0)) return null;
  let core = reader.core(true, bounds, atCorner, sx, sy, sd);
  if (core.n < MIN_SAMPLES) core = reader.core(false, bounds, atCorner, sx, sy, sd);
  if (core.n < MIN_SAMPLES) return null;
  if (core.used < MIN_SAMPLES / 2 || !(core.sd > 0) || Math.abs(core.mean) > 5 * sd) return null;
  return { mean: surface[j * map.columns + i] + core.mean, sd: core.sd };
}

/** Level and noise of a tile whose values are rounded to steps not much finer than the noise; the rounding's own variance, step^2 / 12, belongs to a stored pixel. */
function roundedCore(
  sampler: TileSampler,
  bounds: [number, number, number, number],
  quantum: number,
  start: { readonly mean: number; readonly sd: number },
): { readonly mean: number; readonly sd: number } | null {
  const level = start.mean;
  let n = sampler.gatherQuiet(...bounds, level, 0, 0);
  const isQuiet = n >= MIN_SAMPLES;
  if (!isQuiet) n = sampler.gatherResiduals(...bounds, level, 0, 0);
  if (n < MIN_SAMPLES) return null;
  const above = isQuiet ? QUIET_ABOVE : undefined;
  const core = groupedNormalCore(sampler.buffer, n, quantum, { mean: 0, sd: start.sd }, above);
  if (core.used < MIN_SAMPLES / 2 || !(core.sd > 0)) return null;
  return { mean: level + core.mean, sd: Math.hypot(core.sd, quantum / Math.sqrt(12)) };
}

function finish(
  plane: PixelPlane,
  map: { readonly tileSizePx: number; readonly columns: number; readonly rows: number },
  rawLevel: Float64Array,
  rawNoise: Float64Array,
): BackgroundMap {
  const { columns, rows } = map;
  let level = fillHoles({ columns, rows, values: rawLevel });
  let noise = fillHoles({ columns, rows, values: rawNoise });
  const typicalNoise = medianOf(noise);
  level = smoothTiles({
    columns,
    rows,
    values: rejectOutlyingTiles({ columns, rows, values: level }, 3 * typicalNoise),
  });
  level = sharpenTiles({ columns, rows, values: level }, typicalNoise);
  noise = smoothTiles({
    columns,
    rows,
    values: rejectOutlyingTiles({ columns, rows, values: noise }, 0.3 * typicalNoise),
  });
  for (let k = 0; k < level.length; k += 1) {
    level[k] = level[k] * plane.scale + plane.zero;
    noise[k] *= Math.abs(plane.scale);
  }
  const medianLevel = frameMedian(plane, map, level);
  const frame = { across: plane.width / map.tileSizePx, down: plane.height / map.tileSizePx };
  const gradient = skyGradient({ columns, rows, values: level }, medianLevel, frame);
  return {
    level,
    noise,
    medianLevel,
    medianNoise: frameMedian(plane, map, noise),
    gradientPercent: gradient.percent,
    gradientDirectionDeg: gradient.directionDeg,
    ...map,
  };
}

/** Median over the area of the frame: tiles at the border are larger than the others, so their plain median would lean. */
function frameMedian(
  plane: PixelPlane,
  map: { readonly tileSizePx: number; readonly columns: number; readonly rows: number },
  tiles: Float64Array,
): number {
  if (tiles.some(Number.isNaN)) return NaN;
  // As many places as give the median of a slope; where tiles are few, between them too.
  const perTile = map.columns * map.rows < MANY_TILES ? 4 : 1;
  const across = perTile * map.columns;
  const down = perTile * map.rows;
  const { kernels, address, workArea } = residentPixels(Float32Array.from(tiles));
  const values = workArea().floats(across * down + 3);
  const inTiles = (part: number, sidePx: number): number => (part * sidePx) / map.tileSizePx;
  for (let j = 0; j < down; j += 1)
    kernels.tileLine(
      address,
      map.columns,
      map.rows,
      inTiles((j + 0.5) / down, plane.height) - 0.5,
      inTiles(0.5 / across, plane.width) - 0.5,
      inTiles(1 / across, plane.width),
      across,
      values.address + 4 * j * across,
    );
  return kernels.median(values.address, across * down);
}

function medianOf(values: Float64Array): number {
  const finite = new Float64Array(values.length);
  let n = 0;
  for (let k = 0; k < values.length; k += 1) if (Number.isFinite(values[k])) finite[n++] = values[k];
  return medianInPlace(finite, n);
}
