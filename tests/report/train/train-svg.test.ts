import { expect, it } from 'vitest';
import { adviseSpacing } from '../../../src/optics/train/train-advice.js';
import { sumTrain } from '../../../src/optics/train/train-sum.js';
import { checkVignetting } from '../../../src/optics/train/train-vignetting.js';
import { trainSvg } from '../../../src/report/train/train-svg.js';
import { madeTrain } from '../../optics/train/train-fixture.js';

const draw = (...changes: readonly (readonly [string, string])[]) => {
  const train = madeTrain(...changes);
  const sum = sumTrain(train);
  return trainSvg({
    train,
    sum,
    vignetting: checkVignetting(train, sum),
    warnings: [],
    advice: adviseSpacing(train, null),
  });
};

it('draws every part to scale: widths follow lengths', () => {
  const widths = [...draw().matchAll(/<rect\s+x="[^"]*"\s+y="[^"]*"\s+width="([\d.]+)"/g)].map((m) =>
    Number(m[1]),
  );
  expect(widths).toHaveLength(3);
  expect(widths[0]! / widths[1]!).toBeCloseTo(20 / 17, 2);
});

it('writes names from the file as text, never as markup', () => {
  const svg = draw(['name: drawer', 'name: "<script>alert(1)</script>"']);
  expect(svg).not.toContain('<script>');
  expect(svg).toContain('&lt;script&gt;');
});

it('leaves the cone out when it is not known', () => {
  expect(draw()).toContain('<polygon');
  expect(draw([', focalRatio: 5', ''])).not.toContain('<polygon');
});
