import { describe, expect, it } from 'vitest';
import { registerFields } from '../../src/night/register-fields.js';
import { madeFrame, madeSky, seenStars, type Pointing } from './made-frames.js';

const sky = madeSky(11, 2500, 7000);
const [width, height] = [2000, 1500];
const frame = (file: string, pointing: Pointing, field = sky) =>
  madeFrame(file, { stars: seenStars(field, 120, width, height, pointing), measured: 200 });

describe('registerFields', () => {
  it('lays dithered and flipped frames on one reference', () => {
    const frames = Array.from({ length: 12 }, (_, i) =>
      frame(`f${i}`, { seed: i, dxPx: i * 3.5, dyPx: -i, rotationDeg: i < 6 ? 0 : 180.4 }),
    );
    const [field, ...others] = registerFields(frames);
    expect(others).toEqual([]);
    expect(field!.frames).toHaveLength(12);
    expect(field!.frames[0]!.registration).toMatchObject({ dxPx: 0, dyPx: 0, rotationDeg: 0, scale: 1 });
    const flipped = new Map(field!.frames.map((r) => [r.frame.file, r.registration.flipped]));
    const referenceIndex = Number(field!.frames[0]!.frame.file.slice(1));
    for (let i = 0; i < 12; i++) expect(flipped.get(`f${i}`)).toBe(i < 6 !== referenceIndex < 6);
  });

  it('follows a drift that leaves the reference, through its neighbours', () => {
    // Each frame overlaps the next by more than half; the last one does not overlap the first.
    const frames = Array.from({ length: 7 }, (_, i) => frame(`f${i}`, { seed: i, dxPx: (i - 3) * 700 }));
    const [field, ...others] = registerFields(frames);
    expect(others).toEqual([]);
    const positions = new Map(field!.frames.map((r) => [r.frame.file, r.registration.dxPx]));
    expect(Math.abs(positions.get('f0')! - positions.get('f6')!)).toBeCloseTo(4200, -1);
  });

  it('finds two fields where the header names one target, and leaves the odd frame out', () => {
    const panel = madeSky(12, 2500, 7000);
    const stranger = madeSky(13, 2500, 7000);
    const fields = registerFields([
      frame('a1', { seed: 1 }),
      frame('a2', { seed: 2, dxPx: 9 }),
      frame('b1', { seed: 3 }, panel),
      frame('b2', { seed: 4, dyPx: 7 }, panel),
      frame('b3', { seed: 5, dyPx: 17 }, panel),
      frame('c', { seed: 6 }, stranger),
    ]);
    expect(fields.map((field) => field.frames.map((r) => r.frame.file).sort()).sort()).toEqual([
      ['a1', 'a2'],
      ['b1', 'b2', 'b3'],
    ]);
  });

  it('has a field of one for a single frame and none for frames without stars', () => {
    expect(registerFields([frame('a', {})])).toHaveLength(1);
    expect(registerFields([madeFrame('a'), madeFrame('b')])).toEqual([]);
    expect(registerFields([])).toEqual([]);
  });
});
