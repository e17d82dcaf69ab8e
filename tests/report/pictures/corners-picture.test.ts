import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { meanStars } from '../../../src/field/mean-stars.js';
import { cornersReport, type CornersSubject } from '../../../src/report/corners/corners-report.js';
import { cornersPicture } from '../../../src/report/pictures/corners-picture.js';
import { drawStars } from '../../field/drawn-stars.js';
import { syntheticNight } from '../synthetic-night.js';

let subject: CornersSubject;
beforeAll(() => {
  const { plane, background, table } = drawStars({
    width: 600,
    height: 400,
    count: 150,
    shape: () => ({ xx: 2, xy: 0, yy: 2 }),
  });
  const atlas = meanStars(plane, background, table);
  const night = syntheticNight({
    frames: 2,
    pictures: () => ({ preview: null, atlas: null, meanStars: atlas }),
  });
  subject = cornersReport(night).subjects[0]!;
});

describe('cornersPicture', () => {
  it('draws map and atlas with text that shows: the words leave ink', async () => {
    const picture = await cornersPicture([{ label: subject.name, subject }], {
      palette: 'light',
      format: 'png',
    });
    const { info } = await sharp(picture).raw().toBuffer({ resolveWithObject: true });
    expect(info.width).toBe(1600);
    const title = await sharp(picture).extract({ left: 40, top: 50, width: 400, height: 40 }).stats();
    expect(title.channels[0]!.min).toBeLessThan(90);
    // The mean star in the middle of the atlas is white at its peak.
    const atlas = await sharp(picture).extract({ left: 830, top: 130, width: 700, height: 400 }).stats();
    expect(atlas.channels[2]!.max).toBeGreaterThan(240);
  });

  it('shines red only in the night palette', async () => {
    const picture = await cornersPicture([{ label: subject.name, subject }], {
      palette: 'night',
      format: 'png',
    });
    const { channels } = await sharp(picture).stats();
    expect([channels[0]!.max, channels[1]!.max, channels[2]!.max]).toEqual([255, 0, 0]);
  });

  it('puts before above after, and takes a label as text', async () => {
    const one = await cornersPicture([{ label: '</text><rect/>&', subject }], {
      palette: 'light',
      format: 'webp',
    });
    const two = await cornersPicture(
      [
        { label: 'Before', subject },
        { label: 'After', subject },
      ],
      { palette: 'light', format: 'webp' },
    );
    const [a, b] = [await sharp(one).metadata(), await sharp(two).metadata()];
    expect(b.height).toBeGreaterThan(1.8 * a.height!);
  });

  it('does without stars', async () => {
    const bare = {
      ...subject,
      atlas: null,
      field: { ...subject.field, cells: [] },
      fwhmPx: null,
      elongation: null,
    };
    const picture = await cornersPicture([{ label: 'none', subject: bare }], {
      palette: 'dark',
      format: 'png',
    });
    expect((await sharp(picture).metadata()).width).toBe(1600);
  });
});
