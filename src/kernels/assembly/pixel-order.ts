/** Big-endian signed 16-bit numbers, in place, to little-endian unsigned ones 32768 higher: bytes swapped, top bit flipped. */
export function unsignedFromBigEndian(pixels: usize, count: i32): void {
  const end = pixels + ((<usize>count) << 1);
  let at = pixels;
  const flip = i16x8.splat(<i16>0x8000);
  for (; at + 16 <= end; at += 16) {
    const v = v128.load(at);
    v128.store(at, v128.xor(v128.or(i16x8.shl(v, 8), i16x8.shr_u(v, 8)), flip));
  }
  for (; at < end; at += 2) {
    const v = load<u16>(at);
    store<u16>(at, <u16>(((v << 8) | (v >> 8)) ^ 0x8000));
  }
}
