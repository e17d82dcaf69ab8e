/** Stretches of a series, each level or steadily rising or falling. */
export interface PiecewiseLines {
  /** Index of the first value of each stretch; the first is 0. */
  readonly starts: readonly number[];
  /** Slope within each stretch, y per x; 0 for a level one. */
  readonly slopes: readonly number[];
  /** Squared misfit plus what the stretches and slopes cost. */
  readonly cost: number;
}

/**
 * Cut a series into level and sloped stretches so that squared misfit plus `penalty` for each further stretch and each slope is least.
 *
 * `x`: times in order, any unit; `y`: values, any unit; `penalty`: in units of y squared; `shortest`: values in a level stretch, a sloped one
 * has at least twice as many. Exact minimisation by optimal partitioning (Jackson et al. 2005, IEEE SPL 12, 105).
 * Fewer than `shortest` values: one level stretch of infinite cost.
 */
export function piecewiseLines(
  x: readonly number[],
  y: readonly number[],
  penalty: number,
  shortest: number,
): PiecewiseLines {
  const n = y.length;
  if (n < shortest) return { starts: [0], slopes: [0], cost: Infinity };
  const sums = prefixSums(x, y);
  const base = new Float64Array(n + 1).fill(Infinity);
  const previous = new Int32Array(n + 1);
  const slopeBefore = new Float64Array(n + 1);
  base[0] = -penalty;
  for (let end = shortest; end <= n; end++) {
    let [least, from, slope] = [Infinity, 0, 0];
    for (let start = 0; start <= end - shortest; start++) {
      if (base[start] === Infinity) continue;
      const count = end - start;
      const level = sums.y[end] - sums.y[start];
      const flat = base[start] - (level * level) / count;
      if (flat < least) [least, from, slope] = [flat, start, 0];
      if (count < 2 * shortest) continue;
      const time = sums.x[end] - sums.x[start];
      const spread = sums.xx[end] - sums.xx[start] - (time * time) / count;
      const joint = sums.xy[end] - sums.xy[start] - (time * level) / count;
      if (!(spread > 0)) continue;
      const sloped = flat - (joint * joint) / spread + penalty;
      if (sloped < least) [least, from, slope] = [sloped, start, joint / spread];
    }
    base[end] = least + penalty;
    previous[end] = from;
    slopeBefore[end] = slope;
  }
  const starts: number[] = [];
  const slopes: number[] = [];
  for (let end = n; end > 0; end = previous[end]) {
    starts.unshift(previous[end]);
    slopes.unshift(slopeBefore[end]);
  }
  return { starts, slopes, cost: base[n] + sums.squares };
}

/** Sums up to each index of x, y, their squares and product, first values taken off. */
function prefixSums(x: readonly number[], y: readonly number[]) {
  const n = y.length;
  const [sx, sy, sxx, sxy] = [0, 1, 2, 3].map(() => new Float64Array(n + 1));
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const [dx, dy] = [x[i] - x[0], y[i] - y[0]];
    sx[i + 1] = sx[i] + dx;
    sy[i + 1] = sy[i] + dy;
    sxx[i + 1] = sxx[i] + dx * dx;
    sxy[i + 1] = sxy[i] + dx * dy;
    squares += dy * dy;
  }
  return { x: sx, y: sy, xx: sxx, xy: sxy, squares };
}
