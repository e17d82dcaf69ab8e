import { expect, it } from 'vitest';
import { adviseSpacing } from '../../../src/optics/train/train-advice.js';
import { checkTrain } from '../../../src/optics/train/train-check.js';
import { sumTrain } from '../../../src/optics/train/train-sum.js';
import { checkVignetting } from '../../../src/optics/train/train-vignetting.js';
import { trainJson } from '../../../src/report/train/train-json.js';
import { madeTrain } from '../../optics/train/train-fixture.js';

it('carries the arithmetic, the joints and the plans as plain data', () => {
  const train = madeTrain();
  const sum = sumTrain(train);
  const json = JSON.parse(
    JSON.stringify(
      trainJson({
        train,
        sum,
        vignetting: checkVignetting(train, sum),
        warnings: checkTrain(train),
        advice: adviseSpacing(train, null),
      }),
    ),
  );
  expect(json).toMatchObject({ schema: 'starassay/train@1', verdict: 'short', totalMm: 54.5 });
  expect(json.joints).toHaveLength(3);
  expect(json.advice.plans[0]).toMatchObject({ takeOut: ['tube 20'], jointsChecked: true });
});
