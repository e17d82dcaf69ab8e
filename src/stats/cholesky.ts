/**
 * Factor the symmetric positive definite n x n matrix `a` (row-major, lower half read) into L L^T; L overwrites the lower half.
 *
 * Returns false, leaving `a` half done, when the matrix is not positive definite. Source: Golub & Van Loan, Matrix Computations, section 4.2.
 */
export function choleskyInPlace(a: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j += 1) {
    let d = a[j * n + j];
    for (let k = 0; k < j; k += 1) d -= a[j * n + k] * a[j * n + k];
    if (!(d > 0)) return false;
    const root = Math.sqrt(d);
    a[j * n + j] = root;
    for (let i = j + 1; i < n; i += 1) {
      let v = a[i * n + j];
      for (let k = 0; k < j; k += 1) v -= a[i * n + k] * a[j * n + k];
      a[i * n + j] = v / root;
    }
  }
  return true;
}

/** Solve L L^T x = b in place of `b`, with L as `choleskyInPlace` leaves it. */
export function choleskySolveInPlace(l: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i += 1) {
    let v = b[i];
    for (let k = 0; k < i; k += 1) v -= l[i * n + k] * b[k];
    b[i] = v / l[i * n + i];
  }
  for (let i = n - 1; i >= 0; i -= 1) {
    let v = b[i];
    for (let k = i + 1; k < n; k += 1) v -= l[k * n + i] * b[k];
    b[i] = v / l[i * n + i];
  }
}

/** Inverse of the matrix whose factor is `l`, row-major, full. */
export function choleskyInverse(l: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let j = 0; j < n; j += 1) {
    column.fill(0);
    column[j] = 1;
    choleskySolveInPlace(l, n, column);
    for (let i = 0; i < n; i += 1) inverse[i * n + j] = column[i];
  }
  return inverse;
}
