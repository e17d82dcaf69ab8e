import type { Header } from './header.js';

/** How the data unit of one HDU is laid out, from its header (FITS Standard 4.0, sections 4.4.1 and 7). */
export interface HduStructure {
  readonly bitpix: number;
  /** NAXIS1, NAXIS2, ... of the data unit. */
  readonly axes: readonly number[];
  readonly pcount: number;
  readonly gcount: number;
  readonly randomGroups: boolean;
  /** Size of the data unit without its padding, bytes. */
  readonly dataBytes: number;
}

const bitpixAllowed = new Set([8, 16, 32, 64, -32, -64]);

/** Read the structure, or say in words why it can't be: `{ problem }`. */
export function readStructure(header: Header): HduStructure | { readonly problem: string } {
  const bitpix = header.integer('BITPIX');
  if (bitpix === null || !bitpixAllowed.has(bitpix)) {
    return { problem: `BITPIX is ${shown(header, 'BITPIX')}, not one of 8, 16, 32, 64, -32, -64` };
  }
  const naxis = header.integer('NAXIS');
  if (naxis === null || naxis < 0 || naxis > 999) {
    return { problem: `NAXIS is ${shown(header, 'NAXIS')}, not a whole number from 0 to 999` };
  }
  const axes: number[] = [];
  for (let i = 1; i <= naxis; i++) {
    const length = header.integer(`NAXIS${i}`);
    if (length === null || length < 0) {
      return { problem: `NAXIS${i} is ${shown(header, `NAXIS${i}`)}, not a whole number of pixels` };
    }
    axes.push(length);
  }
  const pcount = header.has('PCOUNT') ? header.integer('PCOUNT') : 0;
  const gcount = header.has('GCOUNT') ? header.integer('GCOUNT') : 1;
  if (pcount === null || pcount < 0) return { problem: `PCOUNT is ${shown(header, 'PCOUNT')}` };
  if (gcount === null || gcount < 0) return { problem: `GCOUNT is ${shown(header, 'GCOUNT')}` };
  const randomGroups = axes.length > 1 && axes[0] === 0 && header.get('GROUPS') === true;
  const counted = randomGroups ? axes.slice(1) : axes;
  const elements = naxis === 0 ? 0 : counted.reduce((product, length) => product * length, 1);
  const primary = header.has('SIMPLE') && !randomGroups;
  // In a primary array PCOUNT and GCOUNT have no meaning; cards left over from a copied extension must not shift what follows.
  const dataBytes = (Math.abs(bitpix) / 8) * (primary ? elements : gcount * (pcount + elements));
  if (!Number.isSafeInteger(dataBytes)) {
    return { problem: `the axes ${axes.join(' x ')} make a data unit too large to exist` };
  }
  return { bitpix, axes, pcount, gcount, randomGroups, dataBytes };
}

function shown(header: Header, keyword: string): string {
  if (!header.has(keyword)) return 'missing';
  const value = header.get(keyword);
  return value === undefined ? 'empty' : typeof value === 'object' ? 'complex' : `'${String(value)}'`;
}
