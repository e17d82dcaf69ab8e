import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { contactSheet } from '../../../src/report/pictures/contact-sheet.js';
import { syntheticNight } from '../synthetic-night.js';

const grey = async () =>
  new Uint8Array(
    await sharp({ create: { width: 48, height: 32, channels: 3, background: '#808080' } })
      .webp()
      .toBuffer(),
  );

describe('contactSheet', () => {
  it('shows every sub, the rejected ones framed', async () => {
    const preview = await grey();
    const night = syntheticNight({ frames: 12, pictures: () => ({ preview, atlas: null }) });
    const all = night.frames.map((frame) => ({ ...frame, decision: 'keep' as const }));
    const options = { palette: 'light', format: 'png' } as const;
    const [marked, plain] = await Promise.all([
      contactSheet(night, options),
      contactSheet({ ...night, frames: all }, options),
    ]);
    const [a, b] = await Promise.all([marked, plain].map((sheet) => sharp(sheet).raw().toBuffer()));
    expect(a!.length).toBe(b!.length);
    expect(a!.equals(b!)).toBe(false);
  });

  it('shines red only in the night palette, and stands an empty square for a missing preview', async () => {
    const preview = await grey();
    const night = syntheticNight({
      frames: 3,
      pictures: (i) => ({ preview: i === 0 ? null : preview, atlas: null }),
    });
    const { channels } = await sharp(await contactSheet(night, { palette: 'night', format: 'png' })).stats();
    expect([channels[1]!.max, channels[2]!.max]).toEqual([0, 0]);
    expect(channels[0]!.max).toBeGreaterThan(100);
  });

  it('refuses a night without frames', async () => {
    const night = syntheticNight({ frames: 1 });
    await expect(contactSheet({ ...night, frames: [] }, { palette: 'light', format: 'png' })).rejects.toThrow(
      RangeError,
    );
  });
});
