import { gather } from '../stats/index.js';
import { fieldBalancedWeights } from './field-weights.js';
import { spreadBeyondErrors } from './spread-beyond-errors.js';
import { StarFlag, type StarTable } from './types.js';

/** Stars that a frame figure is taken from: indices into the table and field-balanced weights, one per index. */
export interface SummaryStars {
  readonly stars: Uint32Array;
  readonly weights: Float64Array;
  /** Real spread of the stars' widths beyond their errors, as a part of the width. */
  readonly spread: number;
}

/** Real differences between stars that no error states, as a part of the width, at least: pixel phases, differential chromatic blur. */
const LEAST_SPREAD = 0.003;

const MILD = StarFlag.Blended | StarFlag.Faint;

/**
 * The stars fit for frame figures. Clean ones of signal to noise 30 or more where twenty are to be had; else clean ones; in a crowd where hardly
 * any star stands alone, blended ones too. Weights follow field balance and precision: those of a weighted median are best when they go as 1 / error (Laplace), with
 * the relative error of the width and, beside it, the real spread of widths over the field.
 */
export function chooseSummaryStars(table: StarTable, widthPx: number, heightPx: number): SummaryStars {
  const pick = (allowed: number, minSnr: number): number[] => {
    const result: number[] = [];
    for (let k = 0; k < table.count; k += 1) {
      if ((table.flags[k] & ~allowed) === 0 && table.snr[k] >= minSnr && table.fwhm[k] > 0) result.push(k);
    }
    return result;
  };
  let chosen = pick(0, 30);
  if (chosen.length < 20) chosen = pick(0, 15);
  if (chosen.length < 8) chosen = pick(0, 0);
  if (chosen.length < 8) {
    const crowded = pick(MILD, 10);
    if (crowded.length > 2 * chosen.length) chosen = crowded;
  }
  const relative = chosen.map((k) => table.fwhmError[k] / table.fwhm[k]);
  const widths = chosen.map((k) => Math.log(table.fwhm[k]));
  const spread = spreadBeyondErrors(widths, relative, LEAST_SPREAD);
  const own = Float64Array.from(relative, (error) =>
    Number.isFinite(error) ? 1 / Math.sqrt(error ** 2 + spread ** 2) : 0,
  );
  const stars = Uint32Array.from(chosen);
  const x = gather(table.x, stars);
  const y = gather(table.y, stars);
  const weights = fieldBalancedWeights(own, x, y, widthPx, heightPx);
  return { stars, weights, spread };
}
