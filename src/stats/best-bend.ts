/** Where two lines that meet fit a series best. */
export interface Bend {
  /** Index of the first value past the bend. */
  readonly index: number;
  /** Value at the bend. */
  readonly level: number;
  /** Sum of squared residuals. */
  readonly misfit: number;
}

/**
 * Fit two lines that meet, by least squares, with the bend at every time allowed in turn.
 *
 * `x`: times in order; `y`: values; `sloped`: whether the line before and the line after may rise or fall; `margin`: values that stay on
 * either side of the bend. Null when the series is shorter than both margins.
 */
export function bestBend(
  x: readonly number[],
  y: readonly number[],
  sloped: readonly [before: boolean, after: boolean],
  margin: number,
): Bend | null {
  let best: Bend | null = null;
  const columns = { before: new Float64Array(y.length), after: new Float64Array(y.length) };
  const scratch = { constant: new Float64Array(y.length), rest: new Float64Array(y.length) };
  for (let index = margin; index <= y.length - margin; index++) {
    const at = (x[index - 1] + x[index]) / 2;
    scratch.constant.fill(1);
    scratch.rest.set(y);
    // Least squares by orthogonal columns: the two slopes never overlap, so they are orthogonal already; the constant comes
    // last, so that its coefficient is the value at the bend.
    if (sloped[0]) {
      for (let i = 0; i < x.length; i++) columns.before[i] = Math.min(0, x[i] - at);
      takeOut(columns.before, scratch);
    }
    if (sloped[1]) {
      for (let i = 0; i < x.length; i++) columns.after[i] = Math.max(0, x[i] - at);
      takeOut(columns.after, scratch);
    }
    const level = share(scratch.rest, scratch.constant);
    remove(scratch.rest, scratch.constant, level);
    const misfit = dot(scratch.rest, scratch.rest);
    if (best === null || misfit < best.misfit) best = { index, level, misfit };
  }
  return best;
}

function takeOut(column: Float64Array, from: { constant: Float64Array; rest: Float64Array }): void {
  remove(from.constant, column, share(from.constant, column));
  remove(from.rest, column, share(from.rest, column));
}

/** Coefficient of a column in some values. */
function share(values: Float64Array, column: Float64Array): number {
  const size = dot(column, column);
  return size > 0 ? dot(values, column) / size : 0;
}

function remove(values: Float64Array, column: Float64Array, times: number): void {
  for (let i = 0; i < values.length; i++) values[i] -= times * column[i];
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
