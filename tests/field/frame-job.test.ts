import { expect, it } from 'vitest';
import { defaultFrameOptions } from '../../src/field/frame-job.js';

it('unless told otherwise a frame is measured as light, by a selection of its stars, without pictures', () => {
  expect(defaultFrameOptions).toMatchObject({ anyKind: false, thorough: false, pictures: 'none' });
  // The options are part of a job that is posted to a thread, and of the name under which the cache remembers it.
  expect(structuredClone(defaultFrameOptions)).toEqual(JSON.parse(JSON.stringify(defaultFrameOptions)));
});
