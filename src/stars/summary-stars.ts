import { medianInPlace } from '../stats/index.js';
import { fieldBalancedWeights } from './field-weights.js';
import { StarFlag, type StarTable } from './types.js';

/** Stars that a frame figure is taken from: indices into the table and field-balanced weights, one per index. */
export interface SummaryStars {
  readonly stars: Uint32Array;
  readonly weights: Float64Array;
}

/** Real differences between stars that no error states, as a part of the width: pixel phases, differential chromatic blur. */
const LEAST_SPREAD = 0.006;

const MILD = StarFlag.Blended | StarFlag.Faint;

/**
 * The stars fit for frame figures. Clean ones of signal to noise 30 or more where twenty are to be had; else clean ones; in a crowd where hardly
 * any star stands alone, blended ones too. Weights follow precision (relative error of the width, and the real spread of widths over the field beside it) and field balance.
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
  const spread = realSpread(
    chosen.map((k) => Math.log(table.fwhm[k])),
    relative,
  );
  const own = Float64Array.from(relative, (error) =>
    Number.isFinite(error) ? 1 / (error * error + spread * spread) : 0,
  );
  const x = Float64Array.from(chosen, (k) => table.x[k]);
  const y = Float64Array.from(chosen, (k) => table.y[k]);
  return { stars: Uint32Array.from(chosen), weights: fieldBalancedWeights(own, x, y, widthPx, heightPx) };
}

/**
 * Spread of values beyond their errors, from the better-measured half (DerSimonian & Laird 1986, with medians): where stars differ by place or kind, all of
 * them speak alike; where they do not, the well-measured ones decide.
 */
function realSpread(values: readonly number[], errors: readonly number[]): number {
  const sound = errors.filter((error) => Number.isFinite(error));
  if (sound.length < 4) return LEAST_SPREAD;
  const limit = medianInPlace(sound);
  const better = values.map((_, k) => k).filter((k) => errors[k] <= limit);
  const middle = medianInPlace(better.map((k) => values[k]));
  const seen = 1.4826 * medianInPlace(better.map((k) => Math.abs(values[k] - middle)));
  const chance = medianInPlace(better.map((k) => errors[k]));
  return Math.sqrt(Math.max(LEAST_SPREAD ** 2, seen * seen - chance * chance));
}
