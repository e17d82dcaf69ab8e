import sharp from 'sharp';
import { expect, it } from 'vitest';
import { UsageError } from '../../../src/errors.js';
import { encodePicture, pictureFormat } from '../../../src/report/pictures/picture-format.js';

it('goes by the end of the name', () => {
  expect([pictureFormat('a.PNG'), pictureFormat('b.webp')]).toEqual(['png', 'webp']);
  expect(() => pictureFormat('c.jpg')).toThrow(UsageError);
  expect(() => pictureFormat('png')).toThrow(UsageError);
});

it.each(['png', 'webp'] as const)('signs a %s with the name of the program', async (format) => {
  const blank = sharp({ create: { width: 8, height: 8, channels: 3, background: '#000' } });
  const picture = await encodePicture(blank, format);
  expect((await sharp(picture).metadata()).format).toBe(format);
  expect(Buffer.from(picture).includes('starassay')).toBe(true);
});
