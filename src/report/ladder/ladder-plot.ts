import { scaleLinear } from 'd3-scale';
import type { LadderAssessment } from '../../night/ladder/index.js';
import { html, type SafeHtml } from '../html.js';
import { plusMinus, plusMinusSigned } from '../numbers.js';
import { bottomAxis, heightScale, leftAxis } from '../plot/axis.js';
import { focusZoneBand } from '../plot/focus-zone-band.js';
import { at, svgPlot, type Area } from '../plot/svg.js';

/** The plotting area, with room for axes and words round it. */
function areaOf(width: number): Area {
  return { left: 56, top: 18, width: width - 76, height: width < 500 ? 200 : 240 };
}

/**
 * Medial curvature at the corner against the spacing: a dot with its error for each sweep, the line through them, the critical focus zone
 * as a band about zero, and where the line crosses zero with its uncertainty. `width`: of the whole plot, user units; `suffix`: makes its name unique. Null when no rung is a sweep.
 */
export function ladderPlot(ladder: LadderAssessment, width: number, suffix: string): SafeHtml | null {
  const area = areaOf(width);
  const points = ladder.points.flatMap(
    ({ spacingMm, curvatureMicron: value, curvatureErrorMicron: error }) =>
      value === null || error === null ? [] : [{ spacingMm, value, error }],
  );
  if (points.length === 0) return null;
  const { line, bestSpacingMm: best, uncertaintyMm: uncertainty } = ladder;
  const showBest = best !== null && uncertainty !== null && ladder.evidence === 'sweeps';
  const spacings = [...points.map((p) => p.spacingMm), ...(showBest ? [best] : [])];
  const [low, high] = [Math.min(...spacings), Math.max(...spacings)];
  const room = 0.12 * (high - low || 1);
  const x = scaleLinear()
    .domain([low - room, high + room])
    .range([area.left, area.left + area.width]);
  const zone = ladder.sweeps[0]?.sweep.focusZone ?? null;
  const half = zone === null ? 0 : zone.totalMicron / 2;
  const y = heightScale(
    points.flatMap((p) => [p.value - p.error, p.value + p.error]),
    area,
    [-half, half, 0],
  );
  // Words stand where the line does not run: above it on its low side.
  const rising = line === null || line.micronPerMm >= 0;
  const onLine = (mm: number): number =>
    line === null ? NaN : line.curvatureMicron + line.micronPerMm * (mm - line.atMm);
  const [from, to] = x.domain() as [number, number];
  return svgPlot(
    {
      id: `ladder-${suffix}`,
      title: 'Curvature against spacing',
      description: `${points.map((p) => `${p.spacingMm} mm: ${plusMinusSigned(p.value, p.error, 0)} µm`).join('; ')}.${showBest ? ` The line crosses zero at ${plusMinus(best, uncertainty, 2)} mm.` : ''}`,
      width,
      height: area.top + area.height + 46,
    },
    zone === null
      ? null
      : focusZoneBand(zone.totalMicron, area, {
          topY: y(half),
          bottomY: y(-half),
          label: rising ? 'top left' : 'top right',
        }),
    leftAxis(y, area, 6),
    bottomAxis(x, area, width < 500 ? 4 : 6),
    html`<line
      class="rule"
      x1="${at(area.left)}"
      x2="${at(area.left + area.width)}"
      y1="${at(y(0))}"
      y2="${at(y(0))}"
    />`,
    line === null
      ? null
      : html`<line
          class="curve"
          x1="${at(x(from))}"
          x2="${at(x(to))}"
          y1="${at(y(onLine(from)))}"
          y2="${at(y(onLine(to)))}"
        />`,
    points.map(
      (p) =>
        html`<line
            class="error"
            x1="${at(x(p.spacingMm))}"
            x2="${at(x(p.spacingMm))}"
            y1="${at(y(p.value - p.error))}"
            y2="${at(y(p.value + p.error))}"
          /><circle class="dotT" cx="${at(x(p.spacingMm))}" cy="${at(y(p.value))}" r="4" />`,
    ),
    showBest
      ? html`<line
            class="best"
            x1="${at(x(best - uncertainty))}"
            x2="${at(x(best + uncertainty))}"
            y1="${at(y(0))}"
            y2="${at(y(0))}"
          /><line
            class="here"
            x1="${at(x(best))}"
            x2="${at(x(best))}"
            y1="${at(y(0) - 9)}"
            y2="${at(y(0) + 9)}"
          /><text
            class="name"
            x="${at(x(best) + (rising ? -10 : 10))}"
            y="${at(y(0) - 8)}"
            text-anchor="${rising ? 'end' : 'start'}"
            >${plusMinus(best, uncertainty, 2)} mm</text
          >`
      : null,
    html`<text
        class="tick"
        x="${at(area.left + area.width / 2)}"
        y="${at(area.top + area.height + 38)}"
        text-anchor="middle"
        >spacing, mm</text
      ><text class="tick" x="${at(area.left - 6)}" y="12" text-anchor="end">µm</text>`,
  );
}
