/** Bits for a place in a list: room for two million. */
const PLACES = 2 ** 21;

/**
 * Indices of `flux` (above zero, at most two million entries), highest flux first, fluxes alike in their first seven digits in the order of the list.
 *
 * Whole numbers made of a 32-bit float's bits, which rise with its value, and of the index below them are exact in doubles, and sort natively.
 */
export function brightestFirst(flux: ArrayLike<number>): Uint32Array {
  const floats = new Float32Array(flux);
  const bits = new Uint32Array(floats.buffer);
  const keys = new Float64Array(flux.length);
  for (let k = 0; k < keys.length; k += 1) keys[k] = -bits[k] * PLACES + k;
  keys.sort();
  const order = new Uint32Array(keys.length);
  for (let k = 0; k < keys.length; k += 1) order[k] = keys[k] - Math.floor(keys[k] / PLACES) * PLACES;
  return order;
}
