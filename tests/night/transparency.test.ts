import { describe, expect, it } from 'vitest';
import { registerFields } from '../../src/night/register-fields.js';
import { measureTransparency } from '../../src/night/transparency.js';
import { seededRandom } from '../scenes/random.js';
import { madeFrame, madeSky, seenStars, type MadeFrameOptions, type Pointing } from './made-frames.js';

const sky = madeSky(31, 1500, 5000);
const [width, height] = [2000, 1500];
const frame = (
  file: string,
  pointing: Pointing,
  seconds = 120,
  header: MadeFrameOptions['header'] = {},
  field = sky,
) =>
  madeFrame(file, {
    stars: seenStars(field, seconds, width, height, pointing),
    header: { exposureSeconds: seconds, ...header },
  });
const measure = (frames: ReturnType<typeof frame>[]) => measureTransparency(registerFields(frames)[0]!);

describe('measureTransparency', () => {
  it('gives the light lost to cloud, across exposure times', () => {
    const truth = [1, 1, 0.98, 1, 0.5, 0.12, 0.8, 1, 0.99, 0.65];
    const result = measure(
      truth.map((transparency, i) =>
        frame(`f${i}`, { seed: i, transparency, dxPx: 8 * i, fluxError: 0.02 }, i % 2 === 0 ? 120 : 300),
      ),
    );
    // 2 % a star over a hundred stars, and as much for the zero point of the best frames.
    truth.forEach((value, i) => expect(Math.abs(result.get(`f${i}`)! / value - 1)).toBeLessThan(0.01));
  });

  it('is not led astray by variable and blended stars', () => {
    const frames = Array.from({ length: 10 }, (_, i) => {
      const random = seededRandom(100 + i);
      // A fifth of the stars, bright ones too, change by up to a magnitude from frame to frame.
      const varying = {
        ...sky,
        rate: sky.rate.map((rate, k) => (k % 5 === 0 ? rate * 10 ** (0.8 * (random.uniform() - 0.5)) : rate)),
      };
      return frame(`f${i}`, { seed: i, transparency: i === 4 ? 0.7 : 1 }, 120, {}, varying);
    });
    const result = measure(frames);
    expect(Math.abs(result.get('f4')! / 0.7 - 1)).toBeLessThan(0.015);
  });

  it('joins frames that do not all share the same stars', () => {
    const frames = [0, 1, 2, 3, 4].map((i) =>
      frame(`f${i}`, { seed: i, dxPx: (i - 2) * 700, transparency: i === 4 ? 0.6 : 1 }),
    );
    expect(Math.abs(measure(frames).get('f4')! / 0.6 - 1)).toBeLessThan(0.03);
  });

  it('takes a night of a thousand frames with more than a hundred thousand sightings', () => {
    const one = registerFields([frame('f0', { seed: 1 }), frame('f1', { seed: 2, transparency: 0.8 })])[0]!;
    const stars = one.frames.reduce((sum, f) => sum + f.stars.count, 0) / 2;
    const copies = Math.ceil(150_000 / stars / 2);
    const long = {
      ...one,
      frames: Array.from({ length: copies }, (_, k) =>
        one.frames.map((f) => ({ ...f, frame: { ...f.frame, file: `${f.frame.file}-${k}` } })),
      ).flat(),
    };
    const result = measureTransparency(long);
    expect(Math.abs(result.get(`f1-${copies - 1}`)! / result.get('f0-0')! / 0.8 - 1)).toBeLessThan(0.01);
  }, 20_000);

  it('keeps filters and gains apart', () => {
    const result = measure([
      frame('L1', { seed: 1 }),
      frame('L2', { seed: 2, transparency: 0.8 }),
      frame('H1', { seed: 3, transparency: 0.05 }, 300, { filter: 'Ha' }),
      frame('H2', { seed: 4, transparency: 0.05 }, 300, { filter: 'Ha' }),
    ]);
    expect(result.get('H1')).toBeCloseTo(1, 1);
    expect(result.get('L2')).toBeCloseTo(0.8, 1);
  });

  it('says nothing of a frame that has none to compare with, or no exposure time', () => {
    expect(measure([frame('a', {})]).size).toBe(0);
    const result = measure([
      frame('a', { seed: 1 }),
      frame('b', { seed: 2 }, 120, { exposureSeconds: null }),
      frame('c', { seed: 3 }),
    ]);
    expect([...result.keys()].sort()).toEqual(['a', 'c']);
  });
});
