import type { Header } from './header.js';
import type { LinearWcs } from './types.js';

type Pair = readonly [number, number];
type Matrix = readonly [Pair, Pair];

/** Degrees in one unit of CUNIT; celestial axes are in degrees when it is missing (FITS Standard 4.0, section 8.2). */
function degreesPer(unit: string | null): number {
  switch ((unit ?? 'deg').trim().toLowerCase()) {
    case 'arcmin':
      return 1 / 60;
    case 'arcsec':
      return 1 / 3600;
    case 'mas':
      return 1 / 3_600_000;
    case 'rad':
      return 180 / Math.PI;
    default:
      return 1;
  }
}

function readMatrix(header: Header): { cd: Matrix; source: LinearWcs['source'] } | null {
  const cdKeys = ['CD1_1', 'CD1_2', 'CD2_1', 'CD2_2'];
  if (cdKeys.some((keyword) => header.number(keyword) !== null)) {
    // Missing elements are 0 once one is given (section 8.2.1).
    const [a, b, c, d] = cdKeys.map((keyword) => header.number(keyword) ?? 0) as [
      number,
      number,
      number,
      number,
    ];
    return {
      cd: [
        [a, b],
        [c, d],
      ],
      source: 'CD',
    };
  }
  const cdelt1 = header.number('CDELT1');
  const cdelt2 = header.number('CDELT2');
  if (cdelt1 === null || cdelt2 === null || cdelt1 === 0 || cdelt2 === 0) return null;
  const pc = (i: number, j: number): number | null =>
    header.number(`PC${i}_${j}`) ?? header.number(`PC00${i}00${j}`);
  if ([pc(1, 1), pc(1, 2), pc(2, 1), pc(2, 2)].some((element) => element !== null)) {
    return {
      cd: [
        [cdelt1 * (pc(1, 1) ?? 1), cdelt1 * (pc(1, 2) ?? 0)],
        [cdelt2 * (pc(2, 1) ?? 0), cdelt2 * (pc(2, 2) ?? 1)],
      ],
      source: 'PC+CDELT',
    };
  }
  const crota = header.number('CROTA2') ?? header.number('CROTA1');
  if (crota === null)
    return {
      cd: [
        [cdelt1, 0],
        [0, cdelt2],
      ],
      source: 'CDELT',
    };
  // Greisen & Calabretta 2002, section 6.1.
  const cos = Math.cos((crota * Math.PI) / 180);
  const sin = Math.sin((crota * Math.PI) / 180);
  return {
    cd: [
      [cdelt1 * cos, -cdelt2 * sin],
      [cdelt1 * sin, cdelt2 * cos],
    ],
    source: 'CDELT+CROTA2',
  };
}

/**
 * Linear part of a celestial WCS of the primary description: rows (longitude, latitude), whatever the order of the axes.
 * Distortions (SIP, TPV, lookup tables) are left aside. Null, with the reason, when there is none or it is no celestial one.
 */
export function readLinearWcs(header: Header): LinearWcs | { readonly problem: string } {
  const types = [header.text('CTYPE1') ?? '', header.text('CTYPE2') ?? ''].map((text) => text.toUpperCase());
  const longitude = types.findIndex((type) => /^(RA|[GEHS]LON|.[LN]LN)/.test(type));
  const latitude = types.findIndex((type) => /^(DEC|[GEHS]LAT|.[LN]LT)/.test(type));
  if (longitude < 0 || latitude < 0) return { problem: 'no celestial CTYPE1 and CTYPE2' };
  const matrix = readMatrix(header);
  if (!matrix) return { problem: 'CTYPE without CDi_j or CDELT' };
  const order = [longitude, latitude] as const;
  const units = order.map((axis) => degreesPer(header.text(`CUNIT${axis + 1}`)));
  const row = (i: 0 | 1): Pair => {
    const source = matrix.cd[order[i] as 0 | 1];
    return [source[0] * units[i]!, source[1] * units[i]!];
  };
  const cd: Matrix = [row(0), row(1)];
  const determinant = cd[0][0] * cd[1][1] - cd[0][1] * cd[1][0];
  if (!Number.isFinite(determinant) || determinant === 0) return { problem: 'its WCS matrix is singular' };
  const pairOf = (name: string, axes: readonly number[], scale: readonly number[]): Pair | null => {
    const values = axes.map((axis, i) => {
      const value = header.number(`${name}${axis + 1}`);
      return value === null ? null : value * scale[i]!;
    });
    return values[0] === null || values[1] === null ? null : (values as unknown as Pair);
  };
  return {
    cd,
    crval: pairOf('CRVAL', order, units),
    crpix: pairOf('CRPIX', [0, 1], [1, 1]),
    source: matrix.source,
  };
}
