import { expect, it } from 'vitest';
import { adviseSpacing } from '../../../src/optics/train/train-advice.js';
import { checkTrain } from '../../../src/optics/train/train-check.js';
import { trainExample } from '../../../src/optics/train/train-example.js';
import { parseTrain } from '../../../src/optics/train/train-file.js';

it('the example is a valid train whose only fault its own box can mend', () => {
  const train = parseTrain(trainExample, 'example');
  expect(checkTrain(train).map((w) => w.code)).toEqual(['spacing']);
  expect(adviseSpacing(train, null).plans.length).toBeGreaterThan(2);
});
