import { describe, expect, it } from 'vitest';
import { starShapes } from '../../src/field/star-shapes.js';
import { StarFlag, type StarTable } from '../../src/stars/types.js';

function table(
  stars: readonly { x: number; y: number; error?: number; flags?: number; mxx?: number }[],
): StarTable {
  const column = (of: (i: number) => number) => Float64Array.from(stars, (_, i) => of(i));
  return {
    count: stars.length,
    x: column((i) => stars[i]!.x),
    y: column((i) => stars[i]!.y),
    mxx: column((i) => stars[i]!.mxx ?? 2),
    myy: column(() => 2),
    mxy: column(() => 0.1),
    mError: column((i) => stars[i]!.error ?? 0.1),
    fwhm: column(() => 3.2),
    flags: Uint16Array.from(stars, (star) => star.flags ?? 0),
  } as unknown as StarTable;
}

describe('the stars a sweep is fitted to', () => {
  it('carry no flag and are measured', () => {
    const shapes = starShapes(
      table([
        { x: 10, y: 10 },
        { x: 20, y: 20, flags: StarFlag.Blended },
        { x: 30, y: 30, mxx: NaN },
        { x: 40, y: 40, error: 0 },
      ]),
      800,
      600,
    );
    expect(shapes.map((s) => s.x)).toEqual([10]);
  });

  it('do not crowd in one corner, and the best measured ones stay', () => {
    const crowd = Array.from({ length: 50 }, (_, i) => ({ x: 5 + i, y: 5, error: 0.05 + 0.01 * i }));
    const shapes = starShapes(table([...crowd, { x: 700, y: 500, error: 1 }]), 800, 600);
    expect(shapes).toHaveLength(7);
    expect(Math.max(...shapes.slice(0, 6).map((s) => s.mError))).toBeCloseTo(0.1, 9);
  });

  it('are none in an empty frame', () => {
    expect(starShapes(table([]), 800, 600)).toEqual([]);
  });
});
