import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { SweepAssessment } from '../../night/sweep/index.js';
import { html, type SafeHtml } from '../html.js';
import { fixed } from '../numbers.js';
import { bottomAxis, heightScale, leftAxis } from '../plot/axis.js';
import { focusZoneBand } from '../plot/focus-zone-band.js';
import { at, svgPlot, type Area } from '../plot/svg.js';

const AREA: Area = { left: 56, top: 18, width: 540, height: 220 };

/**
 * Cut through the surfaces of best focus from corner to corner along the steeper diagonal, with the critical focus zone drawn to the
 * same scale about the best compromise.
 */
export function sectionPlot(sweep: SweepAssessment): SafeHtml {
  const { widthPx, heightPx } = sweep.image;
  const diagonal = Math.hypot(widthPx, heightPx);
  const { tiltX, tiltY, tangential, sagittal } = sweep.surface;
  const up = Math.sign(tiltX * tiltY) >= 0 ? 1 : -1;
  const slope = (tiltX * widthPx + up * tiltY * heightPx) / diagonal;
  const places = Array.from({ length: 41 }, (_, i) => i / 20 - 1);
  const of =
    (curvature: number) =>
    (s: number): number =>
      slope * s + curvature * s * s;
  const [t, m, g] = [of(tangential), of((tangential + sagittal) / 2), of(sagittal)];
  const heights = places.flatMap((s) => [t(s), g(s)]);
  const zone = sweep.focusZone;
  const half = zone === null ? 0 : zone.totalMicron / 2;
  const middle = places.reduce((sum, s) => sum + m(s), 0) / places.length;
  const y = heightScale(heights, AREA, [middle - half, middle + half]);
  const x = scaleLinear()
    .domain([-1, 1])
    .range([AREA.left, AREA.left + AREA.width]);
  const path = (height: (s: number) => number): string =>
    line<number>(
      (s) => x(s),
      (s) => y(height(s)),
    )(places) ?? '';
  const corners = up > 0 ? 'bottom left to top right' : 'top left to bottom right';
  return svgPlot(
    {
      id: 'section',
      title: 'Cut through the surfaces of best focus',
      description: `From ${corners}: tangential ${fixed(t(-1), 0)} to ${fixed(t(1), 0)} µm, sagittal ${fixed(g(-1), 0)} to ${fixed(g(1), 0)} µm against the centre.`,
      width: AREA.left + AREA.width + 20,
      height: AREA.top + AREA.height + 46,
    },
    zone === null
      ? null
      : focusZoneBand(zone.totalMicron, AREA, {
          topY: y(middle + half),
          bottomY: y(middle - half),
          // The band lies about the mean height, so the curves leave the side free that they bend away to.
          label: m(0) > middle ? 'bottom middle' : 'top middle',
        }),
    leftAxis(y, AREA, 6),
    bottomAxis(x, AREA, 5),
    html`<path class="curve" d="${path(m)}" /><path class="tangential" d="${path(t)}" /><path
        class="sagittal"
        d="${path(g)}"
      />`,
    html`<text
        class="tick"
        x="${at(AREA.left + AREA.width / 2)}"
        y="${at(AREA.top + AREA.height + 38)}"
        text-anchor="middle"
        >half-diagonals from the centre, ${corners}</text
      ><text class="tick" x="${at(AREA.left - 6)}" y="12" text-anchor="end">µm</text>`,
  );
}
