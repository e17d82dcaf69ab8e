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
  const { x: sx, y: sy, xx: sxx, xy: sxy, squares } = prefixSums(x, y);
  const base = new Float64Array(n + 1).fill(Infinity);
  const previous = new Int32Array(n + 1);
  const slopeBefore = new Float64Array(n + 1);
  base[0] = -penalty;
  for (let end = shortest; end <= n; end++) {
    // The hot loop: plain variables, sums taken once.
    let least = Infinity;
    let from = 0;
    let slope = 0;
    const endX = sx[end];
    const endY = sy[end];
    const endXx = sxx[end];
    const endXy = sxy[end];
    const lastSloped = end - 2 * shortest;
    for (let start = 0; start <= end - shortest; start++) {
      const share = 1 / (end - start);
      const level = endY - sy[start];
      const flat = base[start] - level * level * share;
      if (flat < least) {
        least = flat;
        from = start;
        slope = 0;
      }
      if (start > lastSloped) continue;
      const time = endX - sx[start];
      const spread = endXx - sxx[start] - time * time * share;
      const joint = endXy - sxy[start] - time * level * share;
      const sloped = flat - (joint * joint) / spread + penalty;
      // Times all alike leave no number here, which is never less.
      if (sloped < least && spread > 0) {
        least = sloped;
        from = start;
        slope = joint / spread;
      }
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
  return { starts, slopes, cost: base[n] + squares };
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
