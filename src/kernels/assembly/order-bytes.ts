/**
 * Big-endian signed 16-bit integers become native unsigned ones of the same order, 32768 higher, where they lie.
 *
 * @param at address of the first, a multiple of 2
 * @param count how many integers
 */
export function orderBytes(at: usize, count: i32): void {
  const top = i16x8.splat(-0x8000);
  const end = at + ((<usize>count) << 1);
  const vectors = at + ((<usize>(count & ~7)) << 1);
  for (; at < vectors; at += 16) {
    const stored = v128.load(at);
    const swapped = v128.shuffle<u8>(stored, stored, 1, 0, 3, 2, 5, 4, 7, 6, 9, 8, 11, 10, 13, 12, 15, 14);
    v128.store(at, v128.xor(swapped, top));
  }
  for (; at < end; at += 2) store<u16>(at, bswap<u16>(load<u16>(at)) ^ 0x8000);
}
