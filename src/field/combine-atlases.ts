import type { AtlasCell, StarAtlas } from './mean-stars.js';

/**
 * The star atlas of several frames: the mean of their mean stars, cell by cell, weighted by the stars behind them.
 *
 * Only atlases of the commonest grid are taken (a frame of few stars has a coarser one); squares of different size are
 * laid over each other by their centres, in the size of the largest. RangeError for none.
 */
export function combineAtlases(atlases: readonly StarAtlas[]): StarAtlas {
  if (atlases.length === 0) throw new RangeError('there is no atlas to combine');
  const grid = commonestGrid(atlases);
  const alike = atlases.filter((atlas) => gridOf(atlas) === grid);
  const largest = alike.reduce((a, b) => (b.sidePx > a.sidePx ? b : a));
  return {
    ...largest,
    cells: largest.cells.map((cell, i) => combineCell(cell, alike, i, largest.sideSubPixels)),
  };
}

const gridOf = (atlas: StarAtlas): string => `${atlas.columns} x ${atlas.rows}`;

function commonestGrid(atlases: readonly StarAtlas[]): string {
  const counts = new Map<string, number>();
  for (const atlas of atlases) counts.set(gridOf(atlas), (counts.get(gridOf(atlas)) ?? 0) + 1);
  return [...counts].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
}

function combineCell(cell: AtlasCell, atlases: readonly StarAtlas[], index: number, side: number): AtlasCell {
  const sums = new Float64Array(side * side);
  const weights = new Float64Array(side * side);
  let stars = 0;
  let [x, y] = [0, 0];
  for (const atlas of atlases) {
    const member = atlas.cells[index]!;
    if (member.stars === 0) continue;
    stars += member.stars;
    x += member.stars * member.x;
    y += member.stars * member.y;
    // Both sides are odd, so their middles fall on each other.
    const margin = (side - atlas.sideSubPixels) / 2;
    member.image.forEach((value, k) => {
      if (!Number.isFinite(value)) return;
      const place =
        (Math.floor(k / atlas.sideSubPixels) + margin) * side + (k % atlas.sideSubPixels) + margin;
      sums[place]! += member.stars * value;
      weights[place]! += member.stars;
    });
  }
  if (stars === 0) return { ...cell, stars: 0, image: new Float32Array(0) };
  const image = Float32Array.from(sums, (sum, k) => (weights[k]! > 0 ? sum / weights[k]! : NaN));
  return { ...cell, x: x / stars, y: y / stars, stars, image };
}
