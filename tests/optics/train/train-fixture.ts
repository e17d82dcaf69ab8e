import { parseTrain } from '../../../src/optics/train/train-file.js';
import type { Train } from '../../../src/optics/train/train-file.js';

/** An invented train: 55 mm wanted, 54.5 mm there, 2 mm of filter glass in the path. */
export const trainText = `
name: test train
corrector: {name: reducer, requiredMm: 55, toleranceMm: 0.1, rear: M48x0.75 male, clearApertureMm: 44, focalRatio: 5}
parts:
  - {name: tube 20, kind: spacer, lengthMm: 20, front: M48x0.75 female, rear: M48x0.75 male}
  - {name: drawer, lengthMm: 17, front: M48x0.75 female, rear: M42x0.75 male, filter: {thicknessMm: 2}}
camera: {name: camera, sensorDepthMm: 17.5, front: T thread female, sensorWidthMm: 24, sensorHeightMm: 18}
box:
  - {name: tube 5, lengthMm: 5, front: M48x0.75 female, rear: M48x0.75 male}
  - {name: tube 16, lengthMm: 16, front: M48x0.75 female, rear: M48x0.75 male}
  - {name: shim 0.2, kind: shim, lengthMm: 0.2, count: 2}
`;

/** The test train, with some text of it replaced. */
export function madeTrain(...changes: readonly (readonly [string, string])[]): Train {
  return parseTrain(
    changes.reduce((text, [from, to]) => text.replace(from, to), trainText),
    'test.yaml',
  );
}
