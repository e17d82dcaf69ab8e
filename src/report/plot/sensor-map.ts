import { contours } from 'd3-contour';
import type { FieldCell, FieldPattern } from '../../field/types.js';
import { html, type SafeHtml } from '../html.js';
import { fixed, isSure, plusMinus, plusMinusSigned, withError } from '../numbers.js';
import { sideWords } from '../../optics/index.js';
import { at } from './svg.js';

/** What the map needs of a frame. */
export interface SensorMapInput {
  readonly field: FieldPattern;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Multiplies FWHM in pixels for display, with its sign: arcsec per pixel and `″`, or 1 and ` px`. */
  readonly unitPerPx: number;
  readonly unitSign: string;
  /** FWHM range of the contours in pixels, to compare maps; else that of the cells. */
  readonly rangePx?: readonly [low: number, high: number];
  /** Tilt of the sensor that the subs together show; it softens both ends, so that a slope of star size may not show it. */
  readonly sensorTilt?: MapTilt | null;
}

/** Towards the side where best focus lies farther out, degrees counter-clockwise from +x. */
export interface MapTilt {
  readonly directionDeg: number;
  readonly span: number;
  readonly spanError: number;
  readonly unit: string;
}

/** A drawn map with the size it takes. */
export interface SensorMapDrawing {
  readonly content: SafeHtml;
  readonly width: number;
  readonly height: number;
  readonly description: string;
}

/** Points of the contour grid along the longer side. */
const GRID_LONG = 40;
/** Farthest a contour may stray by leaving out points, user units. */
const STRAY = 0.3;
const STEPS = 7;
/** Contours span at least this part of the median, so that an even field is not drawn as a landscape. */
const MIN_SPAN = 0.06;
/** Elongation minus one that is drawn as a stick of a whole cell. */
const FULL_STICK = 0.5;
/** Slope of star size, per cent corner to corner, that is drawn as an arrow of full length; weaker ones are shorter. */
const FULL_ARROW_PERCENT = 15;
const MIN_ARROW = 0.15;
const KEY_HEIGHT = 40;

/**
 * The sensor map: a stick per field cell along the axis of elongation (longer = more drawn out) over contours of FWHM,
 * and an arrow towards the side where stars grow softer. FITS y points up. No cell with stars: an empty sensor that says so.
 */
export function drawSensorMap(input: SensorMapInput, width: number): SensorMapDrawing {
  const mapHeight = Math.max(width * 0.2, Math.min(width * 1.6, (width * input.heightPx) / input.widthPx));
  const cells = input.field.cells.filter((cell) => Number.isFinite(cell.fwhmPx));
  const place: Place = {
    x: (x) => ((x - 0.5) / input.widthPx) * width,
    y: (y) => mapHeight - ((y - 0.5) / input.heightPx) * mapHeight,
  };
  const frame = html`<rect class="sensor" x="0" y="0" width="${at(width)}" height="${at(mapHeight)}" />`;
  if (cells.length === 0) {
    return {
      content: html`${frame}<text
          class="note"
          x="${at(width / 2)}"
          y="${at(mapHeight / 2)}"
          text-anchor="middle"
          >no star fit to be mapped</text
        >`,
      width,
      height: mapHeight,
      description: 'No star of this frame was fit to be mapped.',
    };
  }
  const levels = contourLevels(cells, input.rangePx);
  return {
    content: html`${frame}${drawContours(cells, input, levels, width, mapHeight)}<svg
        x="0"
        y="0"
        width="${at(width)}"
        height="${at(mapHeight)}"
      >
        ${drawSticks(input, cells, place, width)}</svg
      >${input.sensorTilt ? drawSensorTilt(input.sensorTilt, width, mapHeight) : drawTilt(input.field, width, mapHeight)}${drawKey(levels, input, width, mapHeight)}<rect
        class="outline"
        x="0"
        y="0"
        width="${at(width)}"
        height="${at(mapHeight)}"
      />`,
    width,
    height: mapHeight + KEY_HEIGHT,
    description: describeMap(input),
  };
}

/** Radial elongation under this is none to anybody's eye. */
const FAINT_RADIAL = 0.01;

/** The map in words: for those who do not see it, and for the caption. */
export function describeMap(input: SensorMapInput): string {
  const { field } = input;
  const parts: string[] = [];
  if (input.sensorTilt) {
    const { directionDeg, span, spanError, unit } = input.sensorTilt;
    parts.push(
      `The sensor is tilted by ${withError(span, spanError, unit)} corner to corner, best focus farthest out at the ${sideWords(directionDeg)} (${fixed(directionDeg, 0)}°): the line through the centre; both its ends go soft.`,
    );
  }
  parts.push(
    field.tilt === null
      ? 'No slope of star size could be fitted.'
      : !isClear(field.tilt)
        ? `No slope of star size is seen (${plusMinus(field.tilt.fwhmSpanPercent, field.tilt.fwhmSpanErrorPercent, 1)} % of the median from corner to corner).`
        : `Stars grow softer towards the ${sideWords(field.tilt.directionDeg)} (${fixed(field.tilt.directionDeg, 0)}°): ${plusMinus(field.tilt.fwhmSpanPercent, field.tilt.fwhmSpanErrorPercent, 1)} % of the median from corner to corner.`,
  );
  if (field.curvaturePercent !== null) {
    const size = `${plusMinusSigned(field.curvaturePercent, field.curvatureErrorPercent, 1)} %`;
    parts.push(
      isSure(field.curvaturePercent, field.curvatureErrorPercent)
        ? `Corners against centre: ${size} in size.`
        : `Corners are as sharp as the centre within the errors (${size}).`,
    );
  }
  if (field.radial !== null) {
    const way = field.radial > 0 ? 'along the radius' : 'around the centre';
    const strength = plusMinusSigned(field.radial, field.radialError, 3);
    parts.push(
      Math.abs(field.radial) < FAINT_RADIAL || !isSure(field.radial, field.radialError)
        ? 'Outer stars show no preferred direction about the centre.'
        : `Outer stars are drawn out ${way} (${strength}).`,
    );
  }
  return parts.join(' ');
}

interface Place {
  readonly x: (fitsX: number) => number;
  readonly y: (fitsY: number) => number;
}

function contourLevels(cells: readonly FieldCell[], range: SensorMapInput['rangePx']): number[] {
  const widths = cells.map((cell) => cell.fwhmPx).sort((a, b) => a - b);
  const middle = widths[widths.length >> 1]!;
  let [low, high] = range ?? [widths[0]!, widths[widths.length - 1]!];
  const lack = MIN_SPAN * middle - (high - low);
  if (lack > 0) {
    low -= lack / 2;
    high += lack / 2;
  }
  return Array.from({ length: STEPS }, (_, i) => low + ((high - low) * i) / STEPS);
}

function drawContours(
  cells: readonly FieldCell[],
  input: SensorMapInput,
  levels: readonly number[],
  width: number,
  height: number,
): SafeHtml {
  const inner = Math.max(width, height);
  const columns = Math.max(8, Math.round((GRID_LONG * width) / inner));
  const rows = Math.max(8, Math.round((GRID_LONG * height) / inner));
  const grid = smoothGrid(cells, input, columns, rows);
  const scaleX = width / columns;
  const scaleY = height / rows;
  // One grid cell more on every side, cut off by the inner svg: contours close outside of the sensor.
  const shapes = contours()
    .size([columns + 2, rows + 2])
    .thresholds([...levels.slice(1)])(grid);
  const paths = shapes.map((shape, i) => {
    if (shape.coordinates.length === 0) return null;
    const rings = shape.coordinates.flat();
    const path = rings.map((ring) => ringPath(ring.map(([x, y]) => [(x! - 1) * scaleX, (y! - 1) * scaleY])));
    return html`<path class="c${i + 1}" d="${path.join('')}" />`;
  });
  const box = { width: at(width), height: at(height) };
  return html`<svg x="0" y="0" width="${box.width}" height="${box.height}">
    <rect class="c0" width="${box.width}" height="${box.height}" />
    ${paths}
  </svg>`;
}

type Point = readonly [x: number, y: number];

/** A closed ring as a path, without the points that lie on the way between their neighbours. */
function ringPath(ring: readonly Point[]): string {
  const kept: Point[] = [ring[0]!];
  let from = 0;
  for (let to = 2; to < ring.length; to++) {
    for (let between = from + 1; between < to; between++) {
      if (distanceToLine(ring[between]!, ring[from]!, ring[to]!) > STRAY) {
        from = to - 1;
        kept.push(ring[from]!);
        break;
      }
    }
  }
  return `M${kept.map(([x, y]) => `${short(x)} ${short(y)}`).join('L')}Z`;
}

function distanceToLine([x, y]: Point, [ax, ay]: Point, [bx, by]: Point): number {
  const length = Math.hypot(bx - ax, by - ay);
  return length === 0
    ? Math.hypot(x - ax, y - ay)
    : Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length;
}

function short(value: number): string {
  return String(Math.round(value * 10) / 10);
}

/**
 * Cell widths spread over an even grid with a margin of one all around, top row first: a Gaussian-weighted mean about one
 * field cell wide.
 */
function smoothGrid(
  cells: readonly FieldCell[],
  input: SensorMapInput,
  columns: number,
  rows: number,
): number[] {
  const reachX = 0.75 / Math.max(1, input.field.columns);
  const reachY = 0.75 / Math.max(1, input.field.rows);
  const values: number[] = [];
  for (let row = -1; row <= rows; row++) {
    for (let column = -1; column <= columns; column++) {
      let sum = 0;
      let weights = 0;
      for (const cell of cells) {
        const dx = ((column + 0.5) / columns - (cell.x - 0.5) / input.widthPx) / reachX;
        const dy = (1 - (row + 0.5) / rows - (cell.y - 0.5) / input.heightPx) / reachY;
        // The small constant lets the nearest cells speak where none is near.
        const weight = Math.exp(-(dx * dx + dy * dy) / 2) + 1e-9 / (1 + dx * dx + dy * dy);
        sum += weight * cell.fwhmPx;
        weights += weight;
      }
      values.push(sum / weights);
    }
  }
  return values;
}

function drawSticks(
  input: SensorMapInput,
  cells: readonly FieldCell[],
  place: Place,
  width: number,
): SafeHtml {
  const pitch = Math.min(width / 3, width / Math.max(1, input.field.columns));
  let sticks = '';
  let dots = '';
  const dot = Math.max(1.2, width / 260);
  for (const cell of cells) {
    const x = place.x(cell.x);
    const y = place.y(cell.y);
    const half = (pitch / 2) * Math.min(1, Math.max(0, cell.elongation - 1) / FULL_STICK);
    const angle = (cell.angleDeg * Math.PI) / 180;
    dots += `M${short(x - dot)} ${short(y)}a${at(dot)} ${at(dot)} 0 1 0 ${at(2 * dot)} 0a${at(dot)} ${at(dot)} 0 1 0 ${at(-2 * dot)} 0`;
    if (Number.isFinite(half) && Number.isFinite(angle)) {
      const dx = half * Math.cos(angle);
      const dy = -half * Math.sin(angle);
      sticks += `M${at(x - dx)} ${at(y - dy)}L${at(x + dx)} ${at(y + dy)}`;
    }
  }
  return html`<path class="halo" d="${sticks}" /><path class="stick" d="${sticks}" /><path
      class="dot"
      d="${dots}"
    />`;
}

function drawTilt(field: FieldPattern, width: number, height: number): SafeHtml | null {
  const { tilt } = field;
  if (tilt === null || !isClear(tilt)) return null;
  const angle = (tilt.directionDeg * Math.PI) / 180;
  const strength = Math.min(1, Math.max(MIN_ARROW, tilt.fwhmSpanPercent / FULL_ARROW_PERCENT));
  const length = Math.min(width, height) * 0.38 * strength;
  const wingLength = Math.min(width, height) * 0.05;
  const tipX = width / 2 + length * Math.cos(angle);
  const tipY = height / 2 - length * Math.sin(angle);
  const wing = (turn: number) =>
    `${at(tipX - wingLength * Math.cos(angle + turn))} ${at(tipY + wingLength * Math.sin(angle + turn))}`;
  const path = `M${at(width / 2)} ${at(height / 2)}L${at(tipX)} ${at(tipY)}M${wing(0.5)}L${at(tipX)} ${at(tipY)}L${wing(-0.5)}`;
  return html`<path class="halo wide" d="${path}" /><path class="tilt" d="${path}" />`;
}

/** A slope within its errors has no direction worth a word or an arrow. */
function isClear(tilt: NonNullable<FieldPattern['tilt']>): boolean {
  return isSure(tilt.fwhmSpanPercent, tilt.fwhmSpanErrorPercent);
}

/** The line along which the sensor is tilted, through the centre to both ends, with a head at the far end and a bar at the near one. */
function drawSensorTilt({ directionDeg }: MapTilt, width: number, height: number): SafeHtml {
  const angle = (directionDeg * Math.PI) / 180;
  const reach =
    0.92 * Math.min(width / 2 / Math.abs(Math.cos(angle)), height / 2 / Math.abs(Math.sin(angle)));
  const spot = (along: number, across: number) => {
    const x = width / 2 + along * Math.cos(angle) - across * Math.sin(angle);
    const y = height / 2 - along * Math.sin(angle) - across * Math.cos(angle);
    return `${at(x)} ${at(y)}`;
  };
  const wing = Math.min(width, height) * 0.05;
  const head = `M${spot(reach - wing, wing / 2)}L${spot(reach, 0)}L${spot(reach - wing, -wing / 2)}`;
  const path = `M${spot(-reach, 0)}L${spot(reach, 0)}${head}M${spot(-reach, wing / 2)}L${spot(-reach, -wing / 2)}`;
  return html`<path class="halo wide" d="${path}" /><path class="tilt" d="${path}" />`;
}

function drawKey(levels: readonly number[], input: SensorMapInput, width: number, top: number): SafeHtml {
  const step = (width * 0.56) / STEPS;
  const y = top + 10;
  const value = (level: number) => `${fixed(level * input.unitPerPx, 2)}${input.unitSign}`;
  const last = levels[STEPS - 1]! + (levels[1]! - levels[0]!);
  const pitch = Math.min(width / 3, width / Math.max(1, input.field.columns));
  const sample = (pitch / 2) * (0.2 / FULL_STICK);
  const x = width * 0.7;
  return html`<g class="key"
    >${levels.map((_, i) => html`<rect class="c${i} edge" x="${at(i * step)}" y="${at(y)}" width="${at(step)}" height="9" />`)}<text
      class="tick"
      x="0"
      y="${at(y + 23)}"
      >${value(levels[0]!)}</text
    ><text class="tick" x="${at(step * STEPS)}" y="${at(y + 23)}" text-anchor="end">${value(last)}</text
    ><text class="tick" x="${at((step * STEPS) / 2)}" y="${at(y + 23)}" text-anchor="middle">FWHM</text
    ><line class="stick" x1="${at(x)}" x2="${at(x + 2 * sample)}" y1="${at(y + 5)}" y2="${at(y + 5)}" /><text
      class="tick"
      x="${at(x)}"
      y="${at(y + 23)}"
      >1.2 elongation</text
    ></g
  >`;
}
