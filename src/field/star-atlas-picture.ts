import type { AtlasCell, StarAtlas } from './mean-stars.js';

/** Part of a mean star's peak that is shown at half brightness: low enough for the wings, high enough to keep a core. */
const HALF_BRIGHT_PART = 0.12;
/** Steps of grey: the eye sees none in a star this small, and the file is half as large. */
const GREY_STEPS = 31;
const GAP_PX = 2;
const GAP_GREY = 70;
const EMPTY_GREY = 28;

/** Eight-bit grey pixels, top row first. */
export interface AtlasPixels {
  readonly width: number;
  readonly height: number;
  readonly bytes: Uint8Array;
}

/**
 * Draw an atlas: each cell's mean star at its place on the sensor, y up, a thin line between; `zoom` whole pixels per sub-pixel.
 *
 * Every star is scaled to its own peak, so a soft corner looks wide, not faint. A cell without stars is a plain dark square.
 */
export function drawStarAtlas(atlas: StarAtlas, zoom = 1): AtlasPixels {
  const tile = atlas.sideSubPixels * zoom;
  const width = atlas.columns * (tile + GAP_PX) - GAP_PX;
  const height = atlas.rows * (tile + GAP_PX) - GAP_PX;
  const bytes = new Uint8Array(width * height).fill(GAP_GREY);
  for (const cell of atlas.cells) {
    const left = cell.column * (tile + GAP_PX);
    const top = (atlas.rows - 1 - cell.row) * (tile + GAP_PX);
    drawCell(cell, atlas.sideSubPixels, zoom, bytes, width, left, top);
  }
  return { width, height, bytes };
}

function drawCell(
  cell: AtlasCell,
  side: number,
  zoom: number,
  bytes: Uint8Array,
  width: number,
  left: number,
  top: number,
): void {
  const greys = cellGreys(cell, side);
  for (let y = 0; y < side * zoom; y++) {
    const row = Math.floor(y / zoom) * side;
    for (let x = 0; x < side * zoom; x++) {
      bytes[(top + y) * width + left + x] = greys[row + Math.floor(x / zoom)]!;
    }
  }
}

/** One mean star in 8-bit grey, top row first, brightest at its own peak; an even dark square without stars. */
export function cellGreys(cell: AtlasCell, side: number): Uint8Array {
  let peak = 0;
  for (const value of cell.image) if (value > peak) peak = value;
  const greys = new Uint8Array(side * side).fill(EMPTY_GREY);
  if (!(peak > 0)) return greys;
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++)
      greys[y * side + x] = starGrey(cell.image[(side - 1 - y) * side + x]! / peak);
  }
  return greys;
}

/** Grey of a part of the peak: t (1 + h) / (t + h), so that t = h is shown at about half; h = HALF_BRIGHT_PART. */
function starGrey(part: number): number {
  if (!(part > 0)) return 0;
  const t = Math.min(1, part);
  const shown = (t * (1 + HALF_BRIGHT_PART)) / (t + HALF_BRIGHT_PART);
  return Math.round((Math.round(shown * GREY_STEPS) * 255) / GREY_STEPS);
}

/** The atlas of a frame as PNG, 8-bit grey, small enough to go into a page. `sharp` is loaded on first use. */
export async function encodeStarAtlas(atlas: StarAtlas, zoom = 1): Promise<Uint8Array> {
  const { default: sharp } = await import('sharp');
  const { width, height, bytes } = drawStarAtlas(atlas, zoom);
  return sharp(bytes, { raw: { width, height, channels: 1 } })
    .toColourspace('b-w')
    .png({ compressionLevel: 4 })
    .toBuffer();
}
