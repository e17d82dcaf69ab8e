import { backgroundAt } from '../../src/image/index.js';
import type { BackgroundMap, SourceList } from '../../src/image/types.js';
import { bigFrameSky, type SensorName } from './make-big-frame.js';
import type { SepAnswer } from './sep-contestant.js';

/** What must hold for a comparison of speed to mean anything. */
export interface SepGates {
  /** Part of the library's star-like objects that the search found too. */
  readonly matched: number;
  /** Root mean square error of the sky over the frame, ours over the library's. */
  readonly skyError: number;
}

/** Two positions of one star lie no farther apart, px. */
const SAME_STAR_PX = 2;

/** Holds what was found on one of the benchmark's frames against the independent library's findings and the frame's known sky. */
export function sepGates(
  sensor: SensorName,
  sources: SourceList,
  background: BackgroundMap,
  theirs: SepAnswer,
): SepGates {
  const cells = new Map<string, number[]>();
  const cell = (x: number, y: number): [number, number] => [
    Math.floor(x / SAME_STAR_PX),
    Math.floor(y / SAME_STAR_PX),
  ];
  for (let k = 0; k < sources.count; k++) {
    const key = cell(sources.x[k], sources.y[k]).join();
    cells.set(key, [...(cells.get(key) ?? []), k]);
  }
  const isFound = (x: number, y: number): boolean => {
    const [i, j] = cell(x, y);
    for (let di = -1; di <= 1; di++) {
      for (let dj = -1; dj <= 1; dj++) {
        const here = cells.get([i + di, j + dj].join()) ?? [];
        if (here.some((k) => Math.hypot(sources.x[k] - x, sources.y[k] - y) <= SAME_STAR_PX)) return true;
      }
    }
    return false;
  };
  let ours = 0;
  let library = 0;
  theirs.sky.forEach((row, j) =>
    row.forEach((level, i) => {
      const x = i * theirs.skyGrid;
      const y = j * theirs.skyGrid;
      const truth = bigFrameSky(sensor, x, y);
      ours += (backgroundAt(background, x + 1, y + 1) - truth) ** 2;
      library += (level - truth) ** 2;
    }),
  );
  return {
    matched: theirs.starX.filter((x, k) => isFound(x, theirs.starY[k]!)).length / theirs.starX.length,
    skyError: Math.sqrt(ours / library),
  };
}
