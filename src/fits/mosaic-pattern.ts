import type { Header } from './header.js';
import type { PhysicalPlane } from './physical-plane.js';
import type { MosaicColour, MosaicPattern } from './types.js';

const patternKeywords = ['BAYERPAT', 'CFAPAT', 'CFA_PAT', 'CFATYPE', 'COLORTYP', 'MOSAIC', 'FILTER'];

/** A plane as read, before the mosaic is known. */
export type SampledPlane = PhysicalPlane & { readonly width: number; readonly height: number };

type Cell = readonly [MosaicColour, MosaicColour, MosaicColour, MosaicColour];

function asCell(value: unknown): Cell | null {
  if (typeof value !== 'string') return null;
  const text = value.toUpperCase().replace(/[^A-Z]/g, '');
  // Every 2 x 2 cell of the Bayer family holds red and blue once, green twice on a diagonal.
  return /^(RGGB|BGGR|GRBG|GBRG)$/.test(text) ? (text.split('') as unknown as Cell) : null;
}

/** The cell of the same mosaic seen from `dx` columns and `dy` rows farther on. */
export function shiftCell(cell: Cell, dx: number, dy: number): Cell {
  const at = (x: number, y: number): MosaicColour => cell[((y + dy) & 1) * 2 + ((x + dx) & 1)]!;
  return [at(0, 0), at(1, 0), at(0, 1), at(1, 1)];
}

/** Cells looked at: their medians are known to 1/60 of the noise. */
const SAMPLED_CELLS = 5000;
/** Cells of a first look: most frames are no mosaic, and pixels all over a large frame are slow to come by. */
const FIRST_CELLS = 500;
/** Difference of two sites in the first look, in its errors, that calls for the full one: a mosaic's is above 3.8 (12 in the full look). */
const FIRST_ERRORS = 2;

/** Median of each of the four sites of the cell over a sample of cells, with the largest error of the four; null for too small a plane. */
function siteLevels(
  plane: SampledPlane,
  sampledCells: number,
): { readonly level: readonly number[]; readonly error: number } | null {
  const { data, width, height } = plane;
  const cellsX = width >> 1;
  const cellsY = height >> 1;
  const step = Math.max(1, Math.floor(Math.sqrt((cellsX * cellsY) / sampledCells)));
  const columns = Math.ceil(cellsX / step);
  const rows = Math.ceil(cellsY / step);
  // Integers tie at their medians: half a step is the least error there.
  let error = data instanceof Uint16Array ? 0.5 : 0;
  const level: number[] = [];
  for (let site = 0; site < 4; site++) {
    const values = new Float64Array(columns * rows);
    let count = 0;
    for (let cy = 0; cy < cellsY; cy += step) {
      let at = (2 * cy + (site >> 1)) * width + (site & 1);
      for (let cx = 0; cx < cellsX; cx += step, at += 2 * step) {
        const value = data[at]!;
        if (value === value) values[count++] = value;
      }
    }
    if (count < 200) return null;
    const sorted = values.subarray(0, count).sort();
    const quantile = (q: number): number => sorted[Math.floor(q * (count - 1))]!;
    // Error of a median: 1.2533 sigma / sqrt(n), sigma from the quartiles (0.7413 x their distance for Gaussian noise).
    error = Math.max(error, (1.2533 * 0.7413 * (quantile(0.75) - quantile(0.25))) / Math.sqrt(count));
    level.push(quantile(0.5));
  }
  return { level, error };
}

/** Difference that makes one diagonal the green one: so many errors, so many times the other diagonal's difference. */
interface Clarity {
  readonly errors: number;
  readonly ratio: number;
}
const againstHeader: Clarity = { errors: 8, ratio: 5 };
const withoutHeader: Clarity = { errors: 12, ratio: 10 };

/**
 * Which diagonal the pixels themselves show to be green: its two sites agree in level while the other two differ.
 * 1 for the sites (1, 0) and (0, 1), 0 for (0, 0) and (1, 1); null when the picture does not tell (grey sky, white-balanced data, no mosaic).
 */
function greenDiagonalOfPixels(plane: SampledPlane, clarity: Clarity): 0 | 1 | null {
  const sites = siteLevels(plane, SAMPLED_CELLS);
  if (!sites) return null;
  const [a, b, c, d] = sites.level as [number, number, number, number];
  const main = Math.abs(a - d);
  const anti = Math.abs(b - c);
  const clear = clarity.errors * sites.error;
  if (main > clear && main > clarity.ratio * anti) return 1;
  if (anti > clear && anti > clarity.ratio * main) return 0;
  return null;
}

/** A mosaic told by the sky alone: no other sensor has two diagonal sites alike and the other two apart. */
function mosaicOfPixels(plane: SampledPlane): FoundMosaic | null {
  const first = siteLevels(plane, FIRST_CELLS);
  if (first) {
    const [a, b, c, d] = first.level as [number, number, number, number];
    if (Math.max(Math.abs(a - d), Math.abs(b - c)) < FIRST_ERRORS * first.error) return null;
  }
  const green = greenDiagonalOfPixels(plane, withoutHeader);
  if (green === null) return null;
  return {
    // Red and blue may be the other way round: nothing depends on it.
    pattern: { cell: green === 0 ? ['G', 'R', 'B', 'G'] : ['R', 'G', 'G', 'B'], source: 'sky levels' },
    note: 'the header names no colour mosaic, the sky levels show one: its green pixels are measured',
  };
}

/** A mosaic and, where the header was not followed to the letter, why. */
export interface FoundMosaic {
  readonly pattern: MosaicPattern;
  readonly note: string | null;
}

/**
 * The colour mosaic of a frame, or null for a monochrome one: BAYERPAT and its kin, or FILTER holding a pattern, shifted by
 * XBAYROFF and YBAYROFF. The pattern is taken from the first stored row on, or, with ROWORDER = 'BOTTOM-UP', from the
 * last one (it is given as seen, top row first). Programs differ in this, so the sky's own levels decide which
 * diagonal is green where they are clear, and find a mosaic that the header leaves out (`note` tells of both). `fullHeight` counts the rows
 * before salvage.
 */
export function findMosaic(header: Header, fullHeight: number, plane: SampledPlane): FoundMosaic | null {
  const source = patternKeywords.find((keyword) => asCell(header.get(keyword)) !== null);
  if (!source) return mosaicOfPixels(plane);
  const dx = header.integer('XBAYROFF') ?? header.integer('BAYOFFX') ?? 0;
  const dy = header.integer('YBAYROFF') ?? header.integer('BAYOFFY') ?? 0;
  let cell = shiftCell(asCell(header.get(source))!, dx, dy);
  const bottomUp = /BOTTOM/i.test(header.text('ROWORDER') ?? '');
  if (bottomUp) cell = shiftCell(cell, 0, fullHeight + 1);
  const stated = cell[0] === 'G' ? 0 : 1;
  const seen = greenDiagonalOfPixels(plane, againstHeader);
  if (seen === null || seen === stated) return { pattern: { cell, source }, note: null };
  // The other reading of the row order: the same columns, rows exchanged.
  cell = shiftCell(cell, 0, 1);
  return {
    pattern: { cell, source: `${source}, rows exchanged after the sky levels` },
    note: "the header's mosaic pattern does not fit the sky levels; with its rows exchanged it does, and is used so",
  };
}
