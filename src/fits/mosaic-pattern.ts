import type { Header } from './header.js';
import type { PhysicalPlane } from './physical-plane.js';
import type { MosaicColour, MosaicPattern } from './types.js';

const patternKeywords = ['BAYERPAT', 'CFAPAT', 'CFA_PAT', 'CFATYPE', 'COLORTYP', 'MOSAIC', 'FILTER'];

type Cell = readonly [MosaicColour, MosaicColour, MosaicColour, MosaicColour];

function asCell(value: unknown): Cell | null {
  if (typeof value !== 'string') return null;
  const text = value.toUpperCase().replace(/[^A-Z]/g, '');
  // Every 2 x 2 cell of the Bayer family holds red and blue once, green twice on a diagonal.
  return /^(RGGB|BGGR|GRBG|GBRG)$/.test(text) ? (text.split('') as unknown as Cell) : null;
}

function shifted(cell: Cell, dx: number, dy: number): Cell {
  const at = (x: number, y: number): MosaicColour => cell[((y + dy) & 1) * 2 + ((x + dx) & 1)]!;
  return [at(0, 0), at(1, 0), at(0, 1), at(1, 1)];
}

/** Level and spread of the four sites of the cell over a sample of cells, robust against stars: median and quartile distance. */
function siteLevels(
  plane: PhysicalPlane & { width: number; height: number },
): { level: number[]; error: number } | null {
  const { data, width, height } = plane;
  const cellsX = width >> 1;
  const cellsY = height >> 1;
  const step = Math.max(1, Math.floor(Math.sqrt((cellsX * cellsY) / 20000)));
  const sites: number[][] = [[], [], [], []];
  for (let cy = 0; cy < cellsY; cy += step) {
    for (let cx = 0; cx < cellsX; cx += step) {
      for (let site = 0; site < 4; site++) {
        const value = data[(2 * cy + (site >> 1)) * width + 2 * cx + (site & 1)]!;
        if (value === value) sites[site]!.push(value);
      }
    }
  }
  if (sites.some((site) => site.length < 200)) return null;
  let error = 0;
  const level = sites.map((site) => {
    site.sort((a, b) => a - b);
    const quartile = (q: number): number => site[Math.floor(q * (site.length - 1))]!;
    // Error of a median: 1.2533 sigma / sqrt(n), sigma from the quartiles (0.7413 x their distance for Gaussian noise).
    error = Math.max(error, (1.2533 * 0.7413 * (quartile(0.75) - quartile(0.25))) / Math.sqrt(site.length));
    return quartile(0.5);
  });
  return { level, error: Math.max(error, 0.5) };
}

/**
 * Which diagonal the pixels themselves show to be green: its two sites agree in level while the other two differ.
 * Null when the picture does not tell (grey sky, white-balanced data, no mosaic).
 */
function greenDiagonalOfPixels(plane: PhysicalPlane & { width: number; height: number }): 0 | 1 | null {
  const sites = siteLevels(plane);
  if (!sites) return null;
  const [a, b, c, d] = sites.level as [number, number, number, number];
  const main = Math.abs(a - d);
  const anti = Math.abs(b - c);
  const clear = 8 * sites.error;
  if (main > clear && main > 5 * anti) return 1;
  if (anti > clear && anti > 5 * main) return 0;
  return null;
}

/**
 * The colour mosaic of a frame, or null for a monochrome one: BAYERPAT and its kin, or FILTER holding a pattern, shifted by
 * XBAYROFF and YBAYROFF. The pattern is taken from the first stored row on, or, with ROWORDER = 'BOTTOM-UP', from the
 * last one (it is given as seen, top row first). Programs differ in this, so the sky's own levels decide which
 * diagonal is green where they are clear (`note` tells when they overrule the header); `fullHeight` counts the rows before salvage.
 */
export function findMosaic(
  header: Header,
  fullHeight: number,
  plane: PhysicalPlane & { readonly width: number; readonly height: number },
): { readonly pattern: MosaicPattern; readonly note: string | null } | null {
  const source = patternKeywords.find((keyword) => asCell(header.get(keyword)) !== null);
  if (!source) return null;
  const dx = header.integer('XBAYROFF') ?? header.integer('BAYOFFX') ?? 0;
  const dy = header.integer('YBAYROFF') ?? header.integer('BAYOFFY') ?? 0;
  let cell = shifted(asCell(header.get(source))!, dx, dy);
  const bottomUp = /BOTTOM/i.test(header.text('ROWORDER') ?? '');
  if (bottomUp) cell = shifted(cell, 0, fullHeight + 1);
  const stated = cell[0] === 'G' ? 0 : 1;
  const seen = greenDiagonalOfPixels(plane);
  if (seen === null || seen === stated) return { pattern: { cell, source }, note: null };
  // The other reading of the row order: the same columns, rows exchanged.
  cell = shifted(cell, 0, 1);
  return {
    pattern: { cell, source: `${source}, rows exchanged after the sky levels` },
    note: `the header's mosaic pattern does not fit the sky levels; read from the other edge it does, and is used so`,
  };
}
