import { entry, put } from './numbers';

/**
 * Factor the symmetric positive definite n x n matrix at `a` (doubles, `stride` to a row, lower half read) into L L^T; L overwrites the lower half. False, with `a` half done, when it is not
 * positive definite (Golub & Van Loan, Matrix Computations, section 4.2). The leading part of L is the factor of the leading part of the matrix.
 */
export function factorise(a: usize, stride: i32, n: i32): bool {
  for (let j = 0; j < n; j += 1) {
    const row = j * stride;
    let d = entry(a, row + j);
    for (let k = 0; k < j; k += 1) d -= entry(a, row + k) * entry(a, row + k);
    if (!(d > 0)) return false;
    const root = Math.sqrt(d);
    put(a, row + j, root);
    for (let i = j + 1; i < n; i += 1) {
      let v = entry(a, i * stride + j);
      for (let k = 0; k < j; k += 1) v -= entry(a, i * stride + k) * entry(a, row + k);
      put(a, i * stride + j, v / root);
    }
  }
  return true;
}

/** Solve L L^T x = b in place of `b`: n doubles. */
export function solveFactored(l: usize, stride: i32, n: i32, b: usize): void {
  for (let i = 0; i < n; i += 1) {
    let v = entry(b, i);
    for (let k = 0; k < i; k += 1) v -= entry(l, i * stride + k) * entry(b, k);
    put(b, i, v / entry(l, i * (stride + 1)));
  }
  for (let i = n - 1; i >= 0; i -= 1) {
    let v = entry(b, i);
    for (let k = i + 1; k < n; k += 1) v -= entry(l, k * stride + i) * entry(b, k);
    put(b, i, v / entry(l, i * (stride + 1)));
  }
}
