import { createPixelMemory } from '../../src/kernels/index.js';
import { makeStarWindow, windowRoom, type StarWindow } from '../../src/stars/star-window.js';
import { seededRandom } from './random.js';
import { readStarImage, type StarImage } from './star-image.js';

export interface WindowOptions {
  readonly flux?: number;
  readonly noise?: number;
  readonly dx?: number;
  readonly dy?: number;
  readonly radius?: number;
  readonly seed?: number;
  /** Level added everywhere, ADU. */
  readonly level?: number;
}

const memory = createPixelMemory();

/** A window with one star at (radius + dx, radius + dy), 0-based, sky taken off; good until the next one is made. */
export function windowOf(image: StarImage, options: WindowOptions = {}): StarWindow {
  const { flux = 10000, noise = 0, dx = 0, dy = 0, radius = 16, seed = 1, level = 0 } = options;
  const random = seededRandom(seed);
  const window = makeStarWindow(memory.desk(windowRoom(radius)));
  const side = 2 * radius + 1;
  window.width = side;
  window.height = side;
  window.noise = noise > 0 ? noise : 1;
  window.sky = 0;
  for (let k = 0; k < side * side; k += 1) {
    const x = (k % side) - radius - dx;
    const y = Math.floor(k / side) - radius - dy;
    window.values[k] = flux * readStarImage(image, x, y) + level + (noise > 0 ? noise * random.normal() : 0);
    window.usable[k] = 1;
  }
  return window;
}
