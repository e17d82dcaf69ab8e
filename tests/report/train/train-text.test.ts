import { describe, expect, it } from 'vitest';
import { adviseSpacing } from '../../../src/optics/train/train-advice.js';
import { checkTrain } from '../../../src/optics/train/train-check.js';
import { sumTrain } from '../../../src/optics/train/train-sum.js';
import { checkVignetting } from '../../../src/optics/train/train-vignetting.js';
import { trainText, warningText } from '../../../src/report/train/train-text.js';
import { madeTrain } from '../../optics/train/train-fixture.js';

const report = (measuredMm: number | null, ...changes: readonly (readonly [string, string])[]) => {
  const train = madeTrain(...changes);
  const sum = sumTrain(train);
  return {
    train,
    sum,
    vignetting: checkVignetting(train, sum),
    warnings: checkTrain(train),
    advice: adviseSpacing(train, measuredMm),
  };
};

describe('a train as text', () => {
  it('fits 80 columns in its drawing, states error and plan, and adds the cautions', () => {
    const text = trainText(report(null), 80);
    expect(text).toContain('−1.18 mm: short');
    expect(text).toContain('take out tube 20');
    expect(text).toMatch(/support camera and\s+corrector/);
    const bar = text.split('\n').find((line) => line.endsWith('#'))!;
    expect(bar.length).toBeLessThanOrEqual(80);
  });

  it('says when the sky disagrees with the arithmetic', () => {
    expect(trainText(report(1), 80)).toContain('differs by 2.18 mm');
  });

  it('says that nothing has to change within tolerance', () => {
    expect(trainText(report(0.05), 80)).toContain('nothing to add or take out');
  });

  it('asks for a box when there is none and nothing may be taken out', () => {
    const full = report(null, ['kind: spacer, ', '']);
    const bare = { ...full.train, box: [] };
    expect(trainText({ ...full, train: bare, advice: adviseSpacing(bare, null) }, 80)).toContain(
      'List your spacers',
    );
  });

  it('puts faults before cautions', () => {
    const lines = warningText(report(null, ['rear: M42x0.75 male', 'rear: M42x1 male']).warnings);
    expect(lines[0]).toMatch(/^Does not fit/);
  });
});

it('trainText and warningText keep to the width of the terminal', () => {
  const found = report(1);
  const lines = [
    ...trainText(found, 80).split('\n'),
    ...warningText(found.warnings, 60).flatMap((w) => w.split('\n')),
  ];
  expect(Math.max(...lines.map((line) => [...line].length))).toBeLessThanOrEqual(80);
});
