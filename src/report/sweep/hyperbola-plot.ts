import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { SweepAssessment, SweepTile } from '../../night/sweep/index.js';
import { html, type SafeHtml } from '../html.js';
import { plusMinus } from '../numbers.js';
import { bottomAxis, leftAxis } from '../plot/axis.js';
import { at, svgPlot, type Area } from '../plot/svg.js';

const AREA: Area = { left: 30, top: 20, width: 190, height: 110 };

/**
 * One part of the field: star size along the radius (filled dots, solid curve) and along the tangent (open squares, dashed curve)
 * against the sensor's place, with the fitted curves and both best-focus places.
 */
export function hyperbolaPlot(tile: SweepTile, sweep: SweepAssessment): SafeHtml {
  const places = sweep.frames.map((frame) => frame.outwardMicron);
  const x = scaleLinear()
    .domain([Math.min(...places), Math.max(...places)])
    .nice()
    .range([AREA.left, AREA.left + AREA.width]);
  // Scaled by the curves: a single stray star must not flatten them all.
  const tallest =
    1.15 * Math.max(...sweep.tiles.flatMap((t) => t.curve.flatMap((p) => [p.radialPx, p.tangentialPx])));
  const y = scaleLinear()
    .domain([0, tallest])
    .nice()
    .range([AREA.top + AREA.height, AREA.top]);
  const inside = tile.curve.filter(
    (p) => p.outwardMicron >= x.domain()[0]! && p.outwardMicron <= x.domain()[1]!,
  );
  const radial =
    line<(typeof inside)[number]>(
      (p) => x(p.outwardMicron),
      (p) => y(p.radialPx),
    )(inside) ?? '';
  const across =
    line<(typeof inside)[number]>(
      (p) => x(p.outwardMicron),
      (p) => y(p.tangentialPx),
    )(inside) ?? '';
  const best = (value: number, kind: string): SafeHtml | null => {
    const [low, high] = x.domain() as [number, number];
    return value < low || value > high
      ? null
      : html`<line
          class="${kind}"
          x1="${at(x(value))}"
          x2="${at(x(value))}"
          y1="${at(AREA.top + AREA.height)}"
          y2="${at(AREA.top + AREA.height - 12)}"
        />`;
  };
  const id = `tile-${tile.column}-${tile.row}`;
  return svgPlot(
    {
      id,
      title: `Column ${tile.column + 1}, row ${tile.row + 1}`,
      description: `Best focus along the radius at ${plusMinus(tile.tangential.value, tile.tangential.error, 0)} µm, along the tangent at ${plusMinus(tile.sagittal.value, tile.sagittal.error, 0)} µm.`,
      width: AREA.left + AREA.width + 10,
      height: AREA.top + AREA.height + 26,
    },
    leftAxis(y, AREA, 3),
    bottomAxis(x, AREA, 4),
    html`<path class="tangential" d="${radial}" /><path class="sagittal" d="${across}" />`,
    tile.points
      .filter((p) => Math.max(p.radialPx, p.tangentialPx) <= y.domain()[1]!)
      .map(
        (p) =>
          html`<circle class="dotT" cx="${at(x(p.outwardMicron))}" cy="${at(y(p.radialPx))}" r="2.2" /><rect
              class="dotS"
              x="${at(x(p.outwardMicron) - 2.2)}"
              y="${at(y(p.tangentialPx) - 2.2)}"
              width="4.4"
              height="4.4"
            />`,
      ),
    best(tile.tangential.value, 'tangential'),
    best(tile.sagittal.value, 'sagittal'),
    html`<text class="tick" x="${at(AREA.left)}" y="12"
      >t ${plusMinus(tile.tangential.value, tile.tangential.error, 0)}, s
      ${plusMinus(tile.sagittal.value, tile.sagittal.error, 0)} µm</text
    >`,
  );
}
