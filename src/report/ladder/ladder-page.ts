import type { LadderAssessment, LadderPoint } from '../../night/ladder/index.js';
import { html, type SafeHtml } from '../html.js';
import { DASH, count, fixed, plusMinus, plusMinusSigned, signed } from '../numbers.js';
import { bothWidths } from '../panels/panel.js';
import { plainPage, verdictSection } from '../page/plain-page.js';
import { cornerPlot } from './corner-plot.js';
import { ladderPlot } from './ladder-plot.js';
import { scaleLines } from './scale-lines.js';

/** Of two plots side by side, user units. */
const PLOT_WIDTH = 616;

const style = `
.plot .dotT{fill:var(--accent)}
.plot .error{stroke:var(--accent);stroke-width:1.6}
.plot .best{stroke:var(--alert);stroke-width:5;stroke-linecap:butt}
.plot .sagittal{fill:none;stroke:var(--alert);stroke-width:1.4;stroke-dasharray:5 3}
.pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr));gap:1.4rem}
figure{margin:0}
`;

/**
 * A ladder as one self-contained HTML page: the best spacing, curvature against spacing with the line through it, the corner stars to be
 * expected, the rungs, the image scale's word, and advice. Nothing is fetched, no script runs.
 */
export function ladderPage(ladder: LadderAssessment): string {
  const curvature = bothWidths((width, suffix) => ladderPlot(ladder, width, suffix), PLOT_WIDTH);
  const corner = bothWidths((width, suffix) => cornerPlot(ladder, width, suffix), PLOT_WIDTH);
  return plainPage({
    title: 'Spacing ladder',
    extent: count(ladder.points.length, 'rung'),
    version: ladder.version,
    style,
    sections: [
      verdictSection(headline(ladder), ladder.advice),
      curvature === null && corner === null
        ? null
        : html`<section aria-labelledby="line-h">
            <h2 id="line-h">Curvature and corner stars against spacing</h2>
            <div class="pair">
              ${
                curvature === null
                  ? null
                  : html`<figure>
                      ${curvature}
                      <figcaption>
                        Medial surface at the corner against the centre, from the sweep at each spacing, with
                        its error; the line through them crosses zero at the best spacing. Band: the critical
                        focus zone.
                      </figcaption>
                    </figure>`
              }
              ${
                corner === null
                  ? null
                  : html`<figure>
                      ${corner}
                      <figcaption>
                        FWHM of corner stars with the focus set for the centre, in the ladder's median seeing;
                        dashed: the centre.
                      </figcaption>
                    </figure>`
              }
            </div>
          </section>`,
      rungsSection(ladder),
      html`<section aria-labelledby="scale-h">
        <h2 id="scale-h">Image scale, the second witness</h2>
        ${scaleLines(ladder).map((text) => html`<p class="plain">${text.trim()}</p>`)}
      </section>`,
    ],
  });
}

function headline({
  bestSpacingMm: best,
  uncertaintyMm: error,
  evidence,
  bracketed,
}: LadderAssessment): string {
  if (best === null) return 'No best spacing can be told from this ladder.';
  const weak = evidence === 'single-frames' ? ', from single frames' : '';
  return `Best spacing ${plusMinus(best, error, 2)} mm${weak}${bracketed ? '' : ', outside the rungs'}.`;
}

function rungsSection(ladder: LadderAssessment): SafeHtml {
  const notes = [
    ...ladder.points.flatMap(({ spacingMm, why }) =>
      why === null ? [] : [`${spacingMm} mm: no sweep, ${why}`],
    ),
    ...ladder.warnings,
  ];
  return html`<section aria-labelledby="rungs-h">
    <h2 id="rungs-h">Rungs</h2>
    <div class="tablebox" tabindex="0" role="region" aria-label="Rungs of the ladder">
      <table>
        <thead>
          <tr>
            <th scope="col">spacing</th>
            <th scope="col" class="n">curvature</th>
            <th scope="col" class="n">off the line</th>
            <th scope="col" class="n">astigmatism</th>
            <th scope="col" class="n">tilt</th>
            <th scope="col" class="n">corner blur</th>
            <th scope="col" class="n">frames</th>
            <th scope="col">evidence</th>
          </tr>
        </thead>
        <tbody>
          ${ladder.points.map(rungRow)}
        </tbody>
      </table>
    </div>
    ${notes.map((text) => html`<p class="quiet">${text}</p>`)}
  </section>`;
}

function rungRow(point: LadderPoint): SafeHtml {
  const micron = (value: number | null): string => (value === null ? DASH : `${signed(value, 1)} µm`);
  const evidence = { sweep: 'sweep', 'single-frames': 'single frames', none: 'none' }[point.evidence];
  return html`<tr>
    <th scope="row">${point.spacingMm}&nbsp;mm</th>
    <td class="n">
      ${micron(point.curvatureMicron)}${point.curvatureErrorMicron === null ? '' : ` ± ${fixed(point.curvatureErrorMicron, 1)}`}
    </td>
    <td class="n">${micron(point.offLineMicron)}</td>
    <td class="n">${micron(point.astigmatismMicron)}</td>
    <td class="n">${point.tiltSpanMicron === null ? DASH : `${fixed(point.tiltSpanMicron, 0)} µm`}</td>
    <td class="n">
      ${
        point.cornerExcessPx2 === null
          ? DASH
          : `${plusMinusSigned(point.cornerExcessPx2, point.cornerExcessErrorPx2, 2)} px²`
      }
    </td>
    <td class="n">${point.frames}</td>
    <td>${evidence}</td>
  </tr>`;
}
