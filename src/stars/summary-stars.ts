import { fieldBalancedWeights } from './field-weights.js';
import { StarFlag, type StarTable } from './types.js';

/** Stars that a frame figure is taken from: indices into the table and field-balanced weights, one per index. */
export interface SummaryStars {
  readonly stars: Uint32Array;
  readonly weights: Float64Array;
}

const MILD = StarFlag.Blended | StarFlag.Faint;

/**
 * The stars fit for frame figures. Clean ones of signal to noise 30 or more where twenty are to be had; else clean ones; in a crowd where hardly
 * any star stands alone, blended ones too. Weights follow precision (relative error of the width, with a floor of 2 % for real differences between stars) and field balance.
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
  const own = Float64Array.from(chosen, (k) => {
    const relative = table.fwhmError[k] / table.fwhm[k];
    return Number.isFinite(relative) ? 1 / (relative * relative + 0.0004) : 0;
  });
  const x = Float64Array.from(chosen, (k) => table.x[k]);
  const y = Float64Array.from(chosen, (k) => table.y[k]);
  return { stars: Uint32Array.from(chosen), weights: fieldBalancedWeights(own, x, y, widthPx, heightPx) };
}
