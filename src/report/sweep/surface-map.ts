import { contours } from 'd3-contour';
import type { SweepAssessment } from '../../night/sweep/index.js';
import { html, type SafeHtml } from '../html.js';
import { fixed, signed } from '../numbers.js';
import { at, svgPlot } from '../plot/svg.js';

const WIDTH = 620;
const GRID = 60;
const STEPS = 7;

/** Height of the fitted medial surface over the centre, micrometres, at (u, v) in half-diagonals. */
export function medialHeight(sweep: SweepAssessment, u: number, v: number): number {
  const { tiltX, tiltY, tangential, sagittal } = sweep.surface;
  return tiltX * u + tiltY * v + ((tangential + sagittal) / 2) * (u * u + v * v);
}

/**
 * Contours of the surface of best focus over the sensor (medial, micrometres over the centre, outwards positive; y up), with the
 * measured height of each part of the field as a figure, and the line within which the whole is in the critical focus zone.
 */
export function surfaceMap(sweep: SweepAssessment): SafeHtml {
  const { widthPx, heightPx } = sweep.image;
  const diagonal = Math.hypot(widthPx, heightPx);
  const [halfU, halfV] = [widthPx / diagonal, heightPx / diagonal];
  const height = Math.max(WIDTH / 3, (WIDTH * heightPx) / widthPx);
  const columns = GRID;
  const rows = Math.max(10, Math.round((GRID * height) / WIDTH));
  const grid: number[] = [];
  for (let j = 0; j < rows; j += 1) {
    for (let i = 0; i < columns; i += 1) {
      grid.push(
        medialHeight(
          sweep,
          ((2 * (i + 0.5)) / columns) * halfU - halfU,
          halfV - ((2 * (j + 0.5)) / rows) * halfV,
        ),
      );
    }
  }
  const [low, high] = [Math.min(...grid), Math.max(...grid)];
  const span = Math.max(high - low, 1);
  const levels = Array.from({ length: STEPS }, (_, i) => low + (span * i) / STEPS);
  const [sx, sy] = [WIDTH / columns, height / rows];
  const x = (u: number): number => ((u / halfU + 1) / 2) * WIDTH;
  const y = (v: number): number => ((1 - v / halfV) / 2) * height;
  const shapes = contours().size([columns, rows]).thresholds(levels.slice(1))(grid);
  const zone = sweep.focusZone === null ? null : sweep.focusZone.totalMicron / 2;
  const middle = grid.reduce((sum, value) => sum + value, 0) / grid.length;
  const zoneLines =
    zone === null
      ? []
      : contours()
          .size([columns, rows])
          .thresholds([middle - zone, middle + zone])(grid)
          .filter((shape) => shape.value > low && shape.value < high);
  const description = `Best focus rises from ${fixed(low, 0)} to ${fixed(high, 0)} µm over the sensor, the centre at 0; outwards positive.`;
  return svgPlot(
    { id: 'surface', title: 'Surface of best focus', description, width: WIDTH, height: height + 44 },
    html`<rect class="c0" x="0" y="0" width="${WIDTH}" height="${at(height)}" />`,
    shapes.map((shape, i) => html`<path class="c${i + 1} edge" d="${outline(shape.coordinates, sx, sy)}" />`),
    zoneLines.map((shape) => html`<path class="limit" d="${outline(shape.coordinates, sx, sy)}" />`),
    sweep.tiles.map((tile) => {
      const medial = (tile.tangential.value + tile.sagittal.value) / 2 - sweep.bestFocus.centreMicron;
      return html`<text class="name" x="${at(x(tile.u))}" y="${at(y(tile.v) + 4)}" text-anchor="middle"
        >${signed(medial, 0)}</text
      >`;
    }),
    html`<rect class="outline" x="0" y="0" width="${WIDTH}" height="${at(height)}" />`,
    key(levels, high, height),
  );
}

function key(levels: readonly number[], high: number, top: number): SafeHtml {
  const width = WIDTH / levels.length;
  return html`${levels.map(
      (level, i) =>
        html`<rect
            class="c${i}"
            x="${at(i * width)}"
            y="${at(top + 10)}"
            width="${at(width)}"
            height="12"
          /><text class="tick" x="${at(i * width)}" y="${at(top + 36)}">${fixed(level, 0)}</text>`,
    )}<text class="tick" x="${WIDTH}" y="${at(top + 36)}" text-anchor="end">${fixed(high, 0)} µm</text>`;
}

/** Path of a contour's rings. */
function outline(
  rings: readonly (readonly (readonly (readonly number[])[])[])[],
  sx: number,
  sy: number,
): string {
  return rings
    .flatMap((polygon) =>
      polygon.map((ring) => `M${ring.map(([px, py]) => `${at(px! * sx)},${at(py! * sy)}`).join('L')}Z`),
    )
    .join('');
}
