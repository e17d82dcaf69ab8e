import { sum4 } from './lanes';
import { entry, put } from './numbers';

/** Pixels taken at once: their lines stay together in the fastest memory. */
export const CHUNK: i32 = 128;
/** Bytes of a line. */
export const LINE: usize = 4 * 128;
/** Lines at most: three parameters of a star's own, 21 terms, seeing, the residual. */
export const rowsAt: usize = memory.data(26 * 4 * 128, 16);

/** Adds the inner products of the first `rows` lines, as far as `bytes` go, to the lower half of a matrix at `sums` (doubles, row after row). */
export function addProducts(rows: i32, bytes: usize, sums: usize): void {
  let k = 0;
  for (let u = 0; u < rows; u += 1) {
    const a = rowsAt + <usize>u * LINE;
    let v = 0;
    for (; v + 1 <= u; v += 2, k += 2) {
      const b = rowsAt + <usize>v * LINE;
      let s0 = f32x4.splat(0);
      let s1 = f32x4.splat(0);
      for (let at: usize = 0; at < bytes; at += 16) {
        const value = v128.load(a + at);
        s0 = f32x4.add(s0, f32x4.mul(value, v128.load(b + at)));
        s1 = f32x4.add(s1, f32x4.mul(value, v128.load(b + LINE + at)));
      }
      put(sums, k, entry(sums, k) + sum4(s0));
      put(sums, k + 1, entry(sums, k + 1) + sum4(s1));
    }
    for (; v <= u; v += 1, k += 1) {
      const b = rowsAt + <usize>v * LINE;
      let s = f32x4.splat(0);
      for (let at: usize = 0; at < bytes; at += 16)
        s = f32x4.add(s, f32x4.mul(v128.load(a + at), v128.load(b + at)));
      put(sums, k, entry(sums, k) + sum4(s));
    }
  }
}
