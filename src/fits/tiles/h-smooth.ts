const { max, min, trunc } = Math;

/** Limit of a slope so that it stays between its neighbours, times `gain`; null when monotony wants it left alone. */
function slopeLimits(
  ahead: number,
  behind: number,
  gain: number,
): readonly [low: number, high: number] | null {
  const high = max(min(ahead, behind), 0) * gain;
  const low = min(max(ahead, behind), 0) * gain;
  return low < high ? [low, high] : null;
}

/** Change of a coefficient towards its interpolated value, no more than half the step it was truncated with. */
function change(wanted: number, coefficient: number, units: number, limit: number): number {
  return max(min(trunc((wanted - coefficient * units) / units), limit), -limit);
}

/**
 * Ease the blocks of a lossy H-transform at one level (White 1992): bring the differences of each 2 x 2 block towards what the
 * sums of the neighbouring blocks suggest, within half the truncation step `scale`. In place; edge blocks stay as they are.
 */
export function smoothCoefficients(
  values: Float64Array,
  topRows: number,
  topColumns: number,
  stride: number,
  scale: number,
): void {
  const limit = Math.floor(scale / 2);
  const rowStep = 2 * stride;
  for (let i = 2; i < topRows - 2; i += 2) {
    for (let j = 0; j < topColumns; j += 2) smoothSlope(values, i * stride + j, rowStep, stride, limit);
  }
  for (let i = 0; i < topRows; i += 2) {
    for (let j = 2; j < topColumns - 2; j += 2) smoothSlope(values, i * stride + j, 2, 1, limit);
  }
  for (let i = 2; i < topRows - 2; i += 2) {
    for (let j = 2; j < topColumns - 2; j += 2) smoothCross(values, i * stride + j, rowStep, stride, limit);
  }
}

/** One difference (`offset` from its sum) against the sums `step` before and behind. */
function smoothSlope(values: Float64Array, at: number, step: number, offset: number, limit: number): void {
  const here = values[at]!;
  const ahead = values[at + step]! - here;
  const behind = here - values[at - step]!;
  const limits = slopeLimits(ahead, behind, 4);
  if (!limits) return;
  const wanted = max(min(ahead + behind, limits[1]), limits[0]);
  values[at + offset] = values[at + offset]! + change(wanted, values[at + offset]!, 8, limit);
}

/** The cross difference against the four diagonal neighbours' sums. */
function smoothCross(values: Float64Array, at: number, rowStep: number, stride: number, limit: number): void {
  const here = values[at]!;
  const mm = values[at - rowStep - 2]!;
  const pm = values[at + rowStep - 2]!;
  const mp = values[at - rowStep + 2]!;
  const pp = values[at + rowStep + 2]!;
  const x2 = values[at + stride]! * 2;
  const y2 = values[at + 1]! * 2;
  const high =
    16 *
    min(
      max(pp - here, 0) - x2 - y2,
      max(here - pm, 0) + x2 - y2,
      max(here - mp, 0) - x2 + y2,
      max(mm - here, 0) + x2 + y2,
    );
  const low =
    16 *
    max(
      min(pp - here, 0) - x2 - y2,
      min(here - pm, 0) + x2 - y2,
      min(here - mp, 0) - x2 + y2,
      min(mm - here, 0) + x2 + y2,
    );
  if (low >= high) return;
  const wanted = max(min(pp + mm - mp - pm, high), low);
  const cross = at + stride + 1;
  values[cross] = values[cross]! + change(wanted, values[cross]!, 64, limit);
}
