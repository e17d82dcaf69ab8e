import { contours } from 'd3-contour';
import type { OverlayOptions } from 'sharp';
import { cellGreys, type AtlasCell, type StarAtlas } from '../../field/index.js';
import { subjectUnit, type CornersSubject } from '../corners/corners-report.js';
import { html, trusted, type SafeHtml } from '../html.js';
import { count, fixed, ratio } from '../numbers.js';
import { palettes, resolveColours, type Palette, type PaletteName } from '../palette.js';
import { plotStyle } from '../plot/plot-style.js';
import { drawSensorMap, type SensorMapInput } from '../plot/sensor-map.js';
import { at } from '../plot/svg.js';
import { pictureLight } from './picture-light.js';
import { encodePicture, type PictureFormat } from './picture-format.js';

const WIDTH = 1600;
const MARGIN = 44;
const SPACE = 48;
const PANEL = (WIDTH - 2 * MARGIN - SPACE) / 2;
const HEAD = 76;
const TILE_GAP = 4;
const LINE = 21;
/** Characters to a line of the words under a map, at their size. */
const LINE_LENGTH = 92;

/** One map of the picture: a label (a group, or "before" and "after") and its subject. */
export interface PictureEntry {
  readonly label: string;
  readonly subject: CornersSubject;
}

/**
 * The picture of `corners`: for each entry the sensor map (sticks over contours of FWHM) beside the star atlas with a line at half
 * of each mean star's peak. Entries stand under each other on one scale of contours, so that before and after compare at a glance.
 */
export async function cornersPicture(
  entries: readonly PictureEntry[],
  options: { readonly palette: PaletteName; readonly format: PictureFormat },
): Promise<Uint8Array> {
  const { default: sharp } = await import('sharp');
  const palette = palettes[options.palette];
  const range = entries.length > 1 ? commonRange(entries) : undefined;
  let top = MARGIN;
  const drawn = entries.map((entry) => {
    const block = drawEntry(entry, range, top);
    top += block.height + SPACE;
    return block;
  });
  const height = Math.ceil(top - SPACE + MARGIN);
  const base = svgDocument(
    height,
    palette,
    html`<rect
        width="${WIDTH}"
        height="${height}"
        fill="${palette.paper}"
      />${drawn.map((block) => block.under)}`,
  );
  const lines = svgDocument(height, palette, html`${drawn.map((block) => block.over)}`);
  const tiles = await Promise.all(
    drawn.flatMap((block) => block.tiles.map((tile) => renderTile(tile, options.palette))),
  );
  const image = sharp(Buffer.from(base)).composite([
    ...tiles,
    { input: Buffer.from(lines), left: 0, top: 0 },
  ]);
  // Encoded in a second step: sharp applies its own order of operations within one.
  return encodePicture(sharp(await image.png().toBuffer()).removeAlpha(), options.format);
}

interface Block {
  readonly height: number;
  readonly under: SafeHtml;
  readonly over: SafeHtml;
  readonly tiles: readonly Tile[];
}

interface Tile {
  readonly cell: AtlasCell;
  readonly sideSubPixels: number;
  readonly left: number;
  readonly top: number;
  readonly side: number;
}

function drawEntry(
  { label, subject }: PictureEntry,
  rangePx: readonly [number, number] | undefined,
  top: number,
): Block {
  const unit = subjectUnit(subject);
  const input: SensorMapInput = {
    field: subject.field,
    widthPx: subject.widthPx,
    heightPx: subject.heightPx,
    unitPerPx: unit.perPx,
    unitSign: unit.sign,
    rangePx,
    sensorTilt: subject.sensorTilt,
  };
  const map = drawSensorMap(input, PANEL);
  const bodyTop = top + HEAD;
  const atlas = subject.atlas === null ? null : layOutAtlas(subject.atlas, MARGIN + PANEL + SPACE, bodyTop);
  const words = wrapWords(map.description, LINE_LENGTH);
  const wordsTop = bodyTop + map.height + 26;
  const figures = `FWHM ${fixed(subject.fwhmPx === null ? null : subject.fwhmPx * unit.perPx, 2)}${unit.sign}, elongation ${ratio(subject.elongation)}`;
  return {
    height: HEAD + Math.max(map.height + 26 + words.length * LINE, atlas ? atlas.height + 30 : 0),
    tiles: atlas?.tiles ?? [],
    under: html`<text class="title" x="${MARGIN}" y="${at(top + 30)}">${label}</text
      ><text class="sub" x="${MARGIN}" y="${at(top + 56)}"
        >${figures}, ${count(subject.files.length, 'sub')}</text
      ><g transform="translate(${MARGIN} ${at(bodyTop)})">${map.content}</g
      >${words.map((line, i) => html`<text class="words" x="${MARGIN}" y="${at(wordsTop + i * LINE)}">${line}</text>`)}${
        atlas
          ? html`<text class="words" x="${at(MARGIN + PANEL + SPACE)}" y="${at(bodyTop + atlas.height + 24)}"
              >Mean star of each part of the sensor, each to its own peak; line: half of the peak.</text
            >`
          : html`<text class="words" x="${at(MARGIN + PANEL + SPACE)}" y="${at(bodyTop + 20)}"
              >No star was fit for the star atlas.</text
            >`
      }`,
    over: html`${atlas?.tiles.map((tile) => html`<path class="half" d="${halfPeak(tile)}" />`)}`,
  };
}

function layOutAtlas(atlas: StarAtlas, left: number, top: number): { tiles: Tile[]; height: number } {
  const side = Math.floor((PANEL - TILE_GAP * (atlas.columns - 1)) / atlas.columns);
  const height = atlas.rows * (side + TILE_GAP) - TILE_GAP;
  const tiles = atlas.cells.map((cell) => ({
    cell,
    sideSubPixels: atlas.sideSubPixels,
    left: Math.round(left + cell.column * (side + TILE_GAP)),
    top: Math.round(top + (atlas.rows - 1 - cell.row) * (side + TILE_GAP)),
    side,
  }));
  return { tiles, height };
}

async function renderTile(tile: Tile, name: PaletteName): Promise<OverlayOptions> {
  const { default: sharp } = await import('sharp');
  const greys = cellGreys(tile.cell, tile.sideSubPixels);
  const raw = { width: tile.sideSubPixels, height: tile.sideSubPixels, channels: 1 as const };
  const resized = await sharp(greys, { raw })
    .resize(tile.side, tile.side, { kernel: 'cubic' })
    .toColourspace('b-w')
    .raw()
    .toBuffer();
  return {
    input: pictureLight(resized, name),
    raw: { width: tile.side, height: tile.side, channels: 3 },
    left: tile.left,
    top: tile.top,
  };
}

/** The contour at half of the mean star's peak, in picture coordinates. */
function halfPeak(tile: Tile): string {
  const { cell, sideSubPixels: side } = tile;
  if (cell.stars === 0) return '';
  const values = Array.from(cell.image, (value) => (Number.isFinite(value) ? value : 0));
  // The peak of a noisy mean is a little high; the mean of its highest pixels is steadier.
  const top = [...values].sort((a, b) => b - a).slice(0, 9);
  const peak = top.reduce((sum, value) => sum + value, 0) / top.length;
  const [shape] = contours()
    .size([side, side])
    .thresholds([peak / 2])(values);
  const scale = tile.side / side;
  const rings = shape!.coordinates.map((polygon) => polygon[0]!);
  const largest = rings.reduce((a, b) => (b.length > a.length ? b : a), rings[0] ?? []);
  return largest.length === 0
    ? ''
    : `M${largest.map(([x, y]) => `${at(tile.left + x! * scale)} ${at(tile.top + (side - y!) * scale)}`).join('L')}Z`;
}

/** Lowest and highest cell width over all entries, in pixels. */
function commonRange(entries: readonly PictureEntry[]): readonly [number, number] | undefined {
  const widths = entries
    .flatMap(({ subject }) => subject.field.cells.map((cell) => cell.fwhmPx))
    .filter(Number.isFinite);
  return widths.length > 0 ? [Math.min(...widths), Math.max(...widths)] : undefined;
}

function svgDocument(height: number, palette: Palette, content: SafeHtml): string {
  // On a star of light, whatever the palette: the strongest contrast that the palette has besides white.
  const halfStroke = palette === palettes.night ? palette.paper : palettes.light.alert;
  const style = `${resolveColours(plotStyle, palette)}
.plot .tick{font-size:15px}.plot .note{font-size:18px}
.plot .title{font-size:27px;font-weight:600;fill:${palette.ink}}.plot .sub,.plot .words{font-size:16px}
.plot .stick{stroke-width:2.6}.plot .halo{stroke-width:5}.plot .tilt{stroke-width:3.6}.plot .half{stroke:${halfStroke};stroke-width:1.5}`;
  return html`<svg
    xmlns="http://www.w3.org/2000/svg"
    class="plot"
    width="${WIDTH}"
    height="${height}"
    viewBox="0 0 ${WIDTH} ${height}"
  >
    ${trusted(`<style>${style}</style>`)}${content}
  </svg>`.text;
}

function wrapWords(text: string, length: number): string[] {
  const lines: string[] = [''];
  for (const word of text.split(' ')) {
    const last = lines.length - 1;
    if (lines[last] === '') lines[last] = word;
    else if (lines[last]!.length + 1 + word.length <= length) lines[last] += ` ${word}`;
    else lines.push(word);
  }
  return lines;
}
