import { expect, it } from 'vitest';
import { leftOut } from '../../../src/report/panels/left-out.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 1 });

it('names files that could not be read with the remedy, calibration frames and warnings', () => {
  const text = leftOut.draw(viewNight(night, { pictures: false }))!.text;
  for (const words of ['broken-0001.fits', 'Copy it again.', 'dark-0001.fits (dark)', 'differ by 2.4 %']) {
    expect(text).toContain(words);
  }
});

it('is not drawn when nothing was left out', () => {
  expect(
    leftOut.draw(viewNight({ ...night, unreadable: [], setAside: [], warnings: [] }, { pictures: false })),
  ).toBeNull();
});
