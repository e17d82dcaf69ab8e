import type { SweepAssessment } from '../../night/sweep/index.js';
import { html, type SafeHtml } from '../html.js';
import { count, fixed, plusMinus, signed, withError } from '../numbers.js';
import { plainPage, verdictSection } from '../page/plain-page.js';
import { hyperbolaPlot } from './hyperbola-plot.js';
import { sectionPlot } from './section-plot.js';
import { surfaceMap } from './surface-map.js';

const style = `
.plot .tangential{fill:none;stroke:var(--accent);stroke-width:1.6}
.plot .sagittal{fill:none;stroke:var(--alert);stroke-width:1.6;stroke-dasharray:5 3}
.plot .curve{stroke:var(--soft);stroke-width:1;stroke-dasharray:1 3}
.plot .dotT{fill:var(--accent)}
.plot .dotS{fill:none;stroke:var(--alert);stroke-width:1.1}
.pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr));gap:1.4rem}
.multiples{display:grid;gap:.6rem}
.multiples.five{grid-template-columns:repeat(5,minmax(0,1fr))}
.multiples.three{grid-template-columns:repeat(3,minmax(0,1fr))}
@media (max-width:800px){.multiples.five,.multiples.three{grid-template-columns:repeat(2,minmax(0,1fr))}}
`;

/**
 * A sweep as one self-contained HTML page: verdict, surface of best focus as contours, a cut with the critical focus zone to scale,
 * the size-against-focus curves of every part of the field as small multiples, frames, advice. Nothing is fetched, no script runs.
 */
export function sweepPage(sweep: SweepAssessment): string {
  const columns = Math.max(...sweep.tiles.map((tile) => tile.column)) + 1;
  return plainPage({
    title: 'Focus sweep',
    extent: count(sweep.frames.length, 'frame'),
    version: sweep.version,
    style,
    sections: [
      verdictSection(headline(sweep), sweep.advice),
      html`<section aria-labelledby="surface-h">
          <h2 id="surface-h">Surface of best focus</h2>
          <div class="pair">
            <figure>
              ${surfaceMap(sweep)}
              <figcaption>
                Medial surface over the sensor, micrometres against the centre, outwards positive. Figures:
                measured in that part of the field; shades: the fitted surface. Dashed: limit of the critical
                focus zone about the field's mean.
              </figcaption>
            </figure>
            <figure>
              ${sectionPlot(sweep)}
              <figcaption>
                Cut from corner to corner. Solid: tangential, dashed: sagittal, dotted: their mean. Band: the
                critical focus zone to the same scale.
              </figcaption>
            </figure>
          </div>
          ${figures(sweep)}
        </section>
        <section aria-labelledby="tiles-h">
          <h2 id="tiles-h">Star size against focus, part by part</h2>
          <p class="caption">
            Placed as on the sensor (top = large y). Dots and solid curve: size along the radius (tangential
            focus, t); squares and dashed curve: along the tangent (sagittal focus, s); FWHM in pixels,
            brought to the same seeing, against the sensor's place in micrometres outwards.
          </p>
          <div class="multiples ${columns === 5 ? 'five' : 'three'}">
            ${sweep.tiles.map((tile) => html`<figure>${hyperbolaPlot(tile, sweep)}</figure>`)}
          </div>
        </section>
        <section aria-labelledby="spacing-h">
          <h2 id="spacing-h">Spacing: the reasoning</h2>
          <ul class="plain">
            ${sweep.spacing.reasoning.map((text) => html`<li>${text}</li>`)}
          </ul>
        </section> `,
      framesSection(sweep),
    ],
  });
}

function headline(sweep: SweepAssessment): string {
  if (sweep.bestFocus.bracketed === 'no') return 'The sweep does not bracket focus.';
  const tilt = sweep.tilt.significant ? `tilt ${fixed(sweep.tilt.spanMicron, 0)} µm` : 'no tilt to speak of';
  const curve = sweep.curvature.significant
    ? `corners ${signed(sweep.curvature.cornerMicron, 0)} µm`
    : 'no curvature to speak of';
  const flat =
    sweep.flat === null
      ? ''
      : sweep.flat
        ? ': every part of the sensor within the focus zone'
        : ': more than the focus zone together';
  return `${tilt}, ${curve}${flat}.`.replace(/^./, (c) => c.toUpperCase());
}

function figures(sweep: SweepAssessment): SafeHtml {
  const { tilt, curvature, astigmatism, bestFocus, scale } = sweep;
  const rows: (readonly [string, string])[] = [
    ['tilt, corner to corner', withError(tilt.spanMicron, tilt.spanErrorMicron, 'micron')],
    ['farther out towards', `${plusMinus(tilt.directionDeg, tilt.directionErrorDeg, 0)}°`],
    ['tilt angle', `${plusMinus(tilt.angleArcmin, tilt.angleErrorArcmin, 1)}′`],
    ['medial curvature at the corner', withError(curvature.cornerMicron, curvature.errorMicron, 'micron')],
    ['astigmatism at the corner', withError(astigmatism.cornerMicron, astigmatism.errorMicron, 'micron')],
    ['best focus, centre', `step ${fixed(bestFocus.centreStep, 0)}`],
    ['best compromise', `step ${fixed(bestFocus.fieldStep, 0)}`],
    ['travel', `${fixed(scale.micronPerStep, 2)} µm per step`],
  ];
  return html`<dl class="figures">
    ${rows.map(
      ([name, value]) =>
        html`<div>
          <dt>${name}</dt>
          <dd>${value}</dd>
        </div>`,
    )}
  </dl>`;
}

function framesSection(sweep: SweepAssessment): SafeHtml {
  return html`<section aria-labelledby="frames-h">
    <h2 id="frames-h">Frames</h2>
    <div class="tablebox" tabindex="0" role="region" aria-label="Frames of the sweep">
      <table>
        <thead>
          <tr>
            <th scope="col">frame</th>
            <th scope="col" class="n">step</th>
            <th scope="col" class="n">outwards, µm</th>
            <th scope="col" class="n">seeing, px</th>
            <th scope="col" class="n">stars</th>
            <th scope="col">remark</th>
          </tr>
        </thead>
        <tbody>
          ${sweep.frames.map(
            (frame) =>
              html`<tr>
                <th scope="row">${frame.file}</th>
                <td class="n">${fixed(frame.positionStep, 0)}</td>
                <td class="n">${fixed(frame.outwardMicron, 0)}</td>
                <td class="n">${fixed(frame.seeingPx, 2)}</td>
                <td class="n">${frame.stars}</td>
                <td>${frame.outlier ?? ''}</td>
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
    ${[...sweep.leftOut.map((f) => `${f.file}: left out, ${f.why}`), ...sweep.warnings].map((text) => html`<p class="quiet">${text}</p>`)}
  </section>`;
}
