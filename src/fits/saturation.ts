import type { Header } from './header.js';

const keywords = ['SATURATE', 'SATURATA', 'SATLEVEL', 'SATURLEV', 'SATURAT', 'MAXLIN'];

/**
 * Physical value at and above which a pixel may be clipped: a saturation keyword, a DATAMAX whose comment speaks of saturation
 * (others hold the frame's own maximum), or the top of an 8- or 16-bit integer range. Null when unknown.
 */
export function saturationLevel(header: Header, bitpix: number, scale: number, zero: number): number | null {
  const top = scale > 0 ? (bitpix === 16 ? 65535 : bitpix === 8 ? 255 : null) : null;
  const topValue = top === null ? null : top * scale + zero;
  const limit = topValue ?? Infinity;
  for (const keyword of keywords) {
    const value = header.number(keyword);
    if (value !== null && value > 0 && value <= limit) return value;
  }
  const dataMax = header.card('DATAMAX');
  if (
    typeof dataMax?.value === 'number' &&
    /satur|clip|linear|good|valid/i.test(dataMax.comment) &&
    dataMax.value <= limit
  ) {
    return dataMax.value;
  }
  return topValue;
}
