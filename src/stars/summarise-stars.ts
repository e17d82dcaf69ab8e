import { gather } from '../stats/index.js';
import { ellipticityField } from './ellipticity-field.js';
import { frameFigure } from './frame-figure.js';
import { limitingFlux } from './limiting-flux.js';
import { chooseSummaryStars, type SummaryStars } from './summary-stars.js';
import { trailFigure, type Trail } from './trail.js';
import type { Figure, StarTable } from './types.js';

export interface StarSummary {
  /** Field-balanced medians over stars; pixels. */
  readonly fwhm: Figure;
  readonly hfd: Figure;
  readonly elongation: Figure;
  readonly beta: Figure;
  readonly trail: Trail;
  /** Flux (ADU) of a star at signal to noise 5. */
  readonly limitingFlux: number | null;
  /** Name of a figure that is null -> why. */
  readonly unmeasured: Readonly<Record<string, string>>;
}

/** Fewer good stars than this say nothing about a frame. */
const TOO_FEW = 4;
const NOTHING: Figure = { value: null, standardError: null, count: 0 };

/** Frame figures from a star table: robust, field-balanced, each with its standard error and count; null with a reason when there are too few stars to tell. */
export function summariseStars(table: StarTable, widthPx: number, heightPx: number): StarSummary {
  const summary = chooseSummaryStars(table, widthPx, heightPx);
  const good = summary.stars.length;
  if (good < TOO_FEW) {
    const why = `too few stars to tell: ${good} good ${good === 1 ? 'star' : 'stars'} of ${table.count} found`;
    return {
      fwhm: { ...NOTHING, count: good },
      hfd: { ...NOTHING, count: good },
      elongation: { ...NOTHING, count: good },
      beta: { ...NOTHING, count: good },
      trail: { angleDeg: null, coherence: null, significance: null },
      limitingFlux: limitingFlux(table),
      unmeasured: { fwhm: why, hfd: why, elongation: why, beta: why, trail: why },
    };
  }
  const column = (values: Float64Array): Float64Array => gather(values, summary.stars);
  const flux = limitingFlux(table);
  const unmeasured: Record<string, string> = {};
  if (flux === null) unmeasured.limitingFlux = 'fewer than five stars with a usable signal to noise';
  const beta = frameFigure(column(table.beta), summary.weights);
  if (beta.value === null) unmeasured.beta = 'no profile fit succeeded';
  const hfd = widthFigure(column(table.hfd), column(table.hfdError), summary, table.hfdSharedError);
  if (hfd.value === null) unmeasured.hfd = 'no curve of growth reached half of the flux';
  return {
    fwhm: widthFigure(column(table.fwhm), column(table.fwhmError), summary, table.fwhmSharedError),
    hfd,
    elongation: frameElongation(table, summary, widthPx, heightPx),
    beta,
    trail: trailFigure(table, summary, widthPx, heightPx),
    limitingFlux: flux,
    unmeasured,
  };
}

/** Median over the stars, with the error that they all share beside that of the median. */
function widthFigure(
  values: Float64Array,
  errors: Float64Array,
  { weights, spread }: SummaryStars,
  sharedError: number,
): Figure {
  const own = errors.map((error, k) => Math.sqrt(error ** 2 + (spread * values[k]) ** 2));
  const { value, standardError, count } = frameFigure(values, weights, own);
  if (value === null || standardError === null) return { value, standardError, count };
  return { value, standardError: Math.hypot(standardError, sharedError * value), count };
}

/** Median over the stars of the smooth field's elongation, the noise's share of the ellipticity taken off. */
function frameElongation(table: StarTable, summary: SummaryStars, widthPx: number, heightPx: number): Figure {
  const field = ellipticityField(table, summary, widthPx, heightPx);
  const lengths = field.e1.map((e1, k) => Math.sqrt(e1 ** 2 + field.e2[k] ** 2));
  const errors = frameFigure(field.error, summary.weights).value ?? 0;
  const length = frameFigure(lengths, summary.weights);
  if (length.value === null) return NOTHING;
  // Noise adds in quadrature along the vector's own direction and across it; only the part across biases its length.
  const e = Math.min(0.98, Math.sqrt(Math.max(0, length.value ** 2 - errors ** 2)));
  const elongation = Math.sqrt((1 + e) / (1 - e));
  // d elongation / d e = elongation / (1 - e^2).
  const error = Math.hypot(errors, length.standardError ?? 0);
  return {
    value: elongation,
    standardError: (error * elongation) / (1 - e * e),
    count: summary.stars.length,
  };
}
