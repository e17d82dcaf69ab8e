/**
 * Indices of at most `most` entries, spread evenly over the field: cell after cell gives its best entry, round by round.
 *
 * `order` lists the entries best first; `x`, `y` are FITS positions on a frame of `widthPx` x `heightPx`. A cluster in one corner thus cannot crowd out
 * the rest of the field. The result is sorted as `order` is.
 */
export function chooseBalanced(
  order: ArrayLike<number>,
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  widthPx: number,
  heightPx: number,
  most: number,
): Uint32Array {
  if (order.length <= most) return Uint32Array.from(order);
  const columns = 8;
  const rows = 6;
  const rank = new Uint32Array(order.length);
  const taken = new Uint32Array(columns * rows);
  const perRound: number[] = [];
  for (let k = 0; k < order.length; k += 1) {
    const s = order[k];
    const i = Math.max(0, Math.min(columns - 1, Math.floor(((x[s] - 0.5) / widthPx) * columns)));
    const j = Math.max(0, Math.min(rows - 1, Math.floor(((y[s] - 0.5) / heightPx) * rows)));
    rank[k] = taken[j * columns + i]++;
    perRound[rank[k]] = (perRound[rank[k]] ?? 0) + 1;
  }
  let rounds = 0;
  let total = 0;
  while (total + perRound[rounds] <= most) total += perRound[rounds++];
  // The last round does not fit whole: its best entries come in.
  let rest = most - total;
  const chosen: number[] = [];
  for (let k = 0; k < order.length; k += 1) {
    if (rank[k] < rounds || (rank[k] === rounds && rest-- > 0)) chosen.push(order[k]);
  }
  return Uint32Array.from(chosen);
}
