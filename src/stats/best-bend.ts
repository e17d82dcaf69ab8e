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
  for (let index = margin; index <= y.length - margin; index++) {
    const at = (x[index - 1] + x[index]) / 2;
    const columns = [x.map(() => 1)];
    if (sloped[0]) columns.push(x.map((time) => Math.min(0, time - at)));
    if (sloped[1]) columns.push(x.map((time) => Math.max(0, time - at)));
    const { level, misfit } = project(columns, y);
    if (best === null || misfit < best.misfit) best = { index, level, misfit };
  }
  return best;
}

/** Least squares by orthogonal columns, the constant last, so that its coefficient is the value at the bend. */
function project(columns: readonly number[][], y: readonly number[]): { level: number; misfit: number } {
  const [constant, ...slopes] = columns;
  const basis: number[][] = [];
  let rest = [...y];
  let level = 0;
  for (const column of [...slopes, constant]) {
    let own = [...column];
    for (const other of basis) own = without(own, other).left;
    const { left, share } = without(rest, own);
    basis.push(own);
    [rest, level] = [left, share];
  }
  return { level, misfit: dot(rest, rest) };
}

function without(values: readonly number[], column: readonly number[]): { left: number[]; share: number } {
  const size = dot(column, column);
  const share = size > 0 ? dot(values, column) / size : 0;
  return { left: values.map((value, i) => value - share * column[i]), share };
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i], 0);
}
