import { createPixelMemory, type StarDesk } from '../../src/kernels/index.js';
import { seededRandom } from '../scenes/random.js';

/** A window with a noisy star in it and some pixels that may not be used. */
export interface TestWindow {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
  readonly usable: Uint8Array;
  readonly x: number;
  readonly y: number;
}

export function testWindow(seed: number, masked = 0.05): TestWindow {
  const random = seededRandom(seed);
  const width = 15 + Math.floor(20 * random.uniform());
  const height = 15 + Math.floor(20 * random.uniform());
  const x = width / 2 + 3 * (random.uniform() - 0.5);
  const y = height / 2 + 3 * (random.uniform() - 0.5);
  const values = new Float32Array(width * height);
  const usable = new Uint8Array(width * height);
  for (let k = 0; k < values.length; k += 1) {
    const r2 = ((k % width) - x) ** 2 + (Math.floor(k / width) - y) ** 2;
    values[k] = 5000 * Math.exp(-r2 / 8) + 10 * random.normal() + 3;
    usable[k] = random.uniform() < masked ? 0 : 1;
  }
  return { width, height, values, usable, x, y };
}

const memory = createPixelMemory();

/** The window's pixels on a desk; good until the next one is laid. */
export function onDesk({ values, usable }: Pick<TestWindow, 'values' | 'usable'>): StarDesk {
  const desk = memory.desk(values.length);
  desk.values.set(values);
  desk.usable.set(usable);
  return desk;
}
