import { median } from 'simple-statistics';
import type { FieldCell, FrameAssessment } from '../../../src/field/types.js';
import { planNight } from '../../../src/simulate/plan-night.js';
import { makeRandom } from '../../../src/simulate/random.js';
import { scenarioSchema, type ScenarioInput } from '../../../src/simulate/scenario.js';
import { makeStarImage } from '../../../src/simulate/star-image.js';

/** How the traced cells are made. */
export interface TracedOptions {
  readonly columns?: number;
  readonly rows?: number;
  /** Relative noise of a cell's mean tensor. */
  readonly noise?: number;
  readonly starsPerCell?: number;
}

/**
 * Frames of a simulated sweep (or ladder) as their cells would be measured without pixel noise: rays through the pupil, Kolmogorov seeing,
 * tracking and pixels drawn into a stamp for each cell, whose adaptive moments are iterated on the pixels; then Gaussian noise.
 * Nothing of the estimator is used.
 */
export function tracedFrames(input: ScenarioInput, options: TracedOptions = {}): FrameAssessment[] {
  const { columns = 5, rows = 4, noise = 0.01, starsPerCell = 8 } = options;
  const scenario = scenarioSchema.parse(input);
  const { widthPx, heightPx, pixelMicron } = scenario.camera;
  return planNight(scenario).map((plan) => {
    const star = makeStarImage(scenario, plan);
    const random = makeRandom(scenario.seed, 'traced', plan.file);
    const cells: FieldCell[] = [];
    for (let row = 0; row < rows; row += 1) {
      for (let column = 0; column < columns; column += 1) {
        const x = ((column + 0.5 + 0.2 * (random.uniform() - 0.5)) * widthPx) / columns;
        const y = ((row + 0.5 + 0.2 * (random.uniform() - 0.5)) * heightPx) / rows;
        const reach = Math.ceil(1.2 * star.spreadPx + 5 * star.profile.fwhm + 4);
        const size = 2 * reach + 1;
        const stamp = new Float32Array(size * size);
        const [dx, dy] = [random.uniform() - 0.5, random.uniform() - 0.5];
        star.draw(stamp, size, size, reach + 1 + dx, reach + 1 + dy, 1, 2 * size, x, y);
        const [xx, xy, yy] = pixelMoments(stamp, size, reach + dx, reach + dy, star.profile.fwhm);
        const error = (noise * (xx + yy)) / 2;
        cells.push({
          column,
          row,
          x,
          y,
          stars: starsPerCell,
          fwhmPx: Math.sqrt(5 * Math.sqrt(Math.max(1e-9, xx * yy - xy * xy))),
          fwhmErrorPx: 0.01,
          elongation: 1,
          angleDeg: 0,
          mxx: xx + error * random.normal(),
          mxy: xy + error * Math.SQRT1_2 * random.normal(),
          myy: yy + error * random.normal(),
          mError: error,
          skewX: 0,
          skewY: 0,
          skewError: 0.01,
        });
      }
    }
    return {
      file: plan.file,
      header: {
        filter: plan.filter.name,
        focuserPosition: plan.focuserStep,
        focuserMicronPerStep: scenario.telescope.focuserMicronPerStep,
        focalRatio: null,
        pixelSizeMicron: [pixelMicron, pixelMicron],
        dateObs: plan.start.toISOString(),
      },
      image: { widthPx, heightPx, mosaic: null, hdu: 0 },
      scale: {
        arcsecPerPx: plan.arcsecPerPx,
        source: 'wcs',
        pixelPitchMicron: pixelMicron,
        focalLengthMm: scenario.telescope.focalLengthMm,
        focalRatio: scenario.telescope.focalLengthMm / scenario.telescope.apertureMm,
        conflicts: [],
      },
      field: {
        columns,
        rows,
        cells,
        tilt: null,
        curvaturePercent: null,
        curvatureErrorPercent: null,
        radial: null,
        radialError: null,
        corners: [],
      },
      fwhm: {
        px: Math.sqrt(5 * median(cells.map((cell) => (cell.mxx + cell.myy) / 2))),
        arcsec: null,
        standardError: null,
      },
      registrationStars: [],
      warnings: [],
    } as unknown as FrameAssessment;
  });
}

/** Adaptive moments on pixels, iterated plainly: weight = the Gaussian that matches (Bernstein & Jarvis 2002). */
export function pixelMoments(
  stamp: Float32Array,
  size: number,
  startX: number,
  startY: number,
  fwhm: number,
): [number, number, number] {
  let [x, y] = [startX, startY];
  let [xx, xy, yy] = [fwhm * fwhm * 0.4, 0, fwhm * fwhm * 0.4];
  for (let iteration = 0; iteration < 300; iteration += 1) {
    const determinant = xx * yy - xy * xy;
    let [s, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0];
    for (let j = 0; j < size; j += 1) {
      for (let i = 0; i < size; i += 1) {
        const [dx, dy] = [i - x, j - y];
        const q = (yy * dx * dx - 2 * xy * dx * dy + xx * dy * dy) / determinant;
        if (q > 40) continue;
        const w = Math.exp(-q / 2) * stamp[j * size + i]!;
        s += w;
        sx += w * dx;
        sy += w * dy;
        sxx += w * dx * dx;
        sxy += w * dx * dy;
        syy += w * dy * dy;
      }
    }
    const next = [(2 * sxx) / s, (2 * sxy) / s, (2 * syy) / s] as const;
    x += sx / s;
    y += sy / s;
    const change = Math.abs(next[0] / xx - 1) + Math.abs(next[2] / yy - 1);
    [xx, xy, yy] = next;
    if (change < 1e-6) break;
  }
  return [xx, xy, yy];
}
