/**
 * Covariance of a least-squares solution whose weights are not the inverse variances: bread x filling x bread, with bread = (J^T J)^-1 and
 * filling = J^T V J, both n x n row-major and symmetric (White 1980, Econometrica 48, 817).
 */
export function sandwichCovariance(bread: Float64Array, filling: Float64Array, n: number): Float64Array {
  return product(product(bread, filling, n), bread, n);
}

function product(a: Float64Array, b: Float64Array, n: number): Float64Array {
  const result = new Float64Array(n * n);
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j < n; j += 1) {
      let sum = 0;
      for (let k = 0; k < n; k += 1) sum += a[i * n + k] * b[k * n + j];
      result[i * n + j] = sum;
    }
  }
  return result;
}
