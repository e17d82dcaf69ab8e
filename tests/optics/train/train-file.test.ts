import { describe, expect, it } from 'vitest';
import { UsageError } from '../../../src/errors.js';
import { parseTrain, USUAL_INDEX, USUAL_TOLERANCE_MM } from '../../../src/optics/train/train-file.js';
import { madeTrain, trainText } from './train-fixture.js';

function complaint(text: string): string {
  try {
    parseTrain(text, 'my.yaml');
  } catch (error) {
    expect(error).toBeInstanceOf(UsageError);
    return (error as UsageError).message;
  }
  throw new Error('no complaint');
}

describe('a train file', () => {
  it('is read with joints, glass and defaults understood', () => {
    const train = madeTrain();
    expect(train.parts.map((part) => [part.name, part.removable])).toEqual([
      ['tube 20', true],
      ['drawer', false],
    ]);
    expect(train.parts[1]?.glass).toEqual({ thicknessMm: 2, index: USUAL_INDEX });
    expect(train.camera.front?.standard.name).toBe('M42x0.75');
    expect(train.box[2]).toMatchObject({ kind: 'shim', count: 2 });
  });

  it('may be JSON, and may leave the tolerance to common practice', () => {
    const train = parseTrain(
      '{"corrector": {"requiredMm": 55}, "camera": {"sensorDepthMm": 17.5}}',
      'x.json',
    );
    expect(train.corrector).toMatchObject({ toleranceMm: USUAL_TOLERANCE_MM, toleranceGiven: false });
    expect(train.parts).toEqual([]);
  });

  it.each([
    ['', 'list of named entries'],
    ['[1, 2]', 'list of named entries'],
    ['a: [', 'not a YAML or JSON document'],
    ['camera: {sensorDepthMm: 17.5}', 'corrector: is missing'],
    [trainText.replace('requiredMm: 55', 'requiredMm: 55 mm'), 'corrector > requiredMm: a number is wanted'],
    [trainText.replace('lengthMm: 17', 'length: 17'), 'parts > no. 2'],
    [trainText.replace('T thread female', 'weird thread'), '"weird thread" is no joint that I know'],
    [trainText.replace('lengthMm: 20', 'lengthMm: -20'), 'parts > no. 1 > lengthMm'],
    [trainText.replace('lengthMm: 20', 'lengthMm: .nan'), 'parts > no. 1 > lengthMm'],
    [
      trainText.replace('kind: spacer, lengthMm: 20', 'kind: filter, lengthMm: 20'),
      'a filter needs its glass',
    ],
    [
      trainText.replace('kind: spacer, lengthMm: 20', 'kind: draw-tube, minMm: 30, lengthMm: 20'),
      'between minMm and maxMm',
    ],
  ])('with a fault gets words that name the place (%#)', (text, words) => {
    expect(complaint(text)).toContain(words);
    expect(complaint(text)).toContain('my.yaml');
  });

  it.each([
    [['sensorDepthMm: 17.5, ', ''], 'camera > sensorDepthMm: is missing'],
    [['lengthMm: 20', 'lengthMm: -20'], 'parts > no. 1 > lengthMm: must be at least 0'],
    [['lengthMm: 20', 'lengthMm: 20000'], 'must be at most 2000: is the unit mm?'],
    [['lengthMm: 20', 'lengthMm: 20 mm'], 'a number is wanted (mm, without unit)'],
    [['focalRatio: 5', 'focalRatio: 0'], 'corrector > focalRatio: must be more than 0'],
  ] as const)('says in words what is wrong with %j', ([from, to], words) => {
    expect(() => parseTrain(trainText.replace(from, to), 'bad.yaml')).toThrow(words);
  });

  it('cannot blow up by aliases', () => {
    const bomb = [
      'a: &a [x,x,x,x,x,x,x,x,x]',
      ...'bcdefgh'.split('').map((c, i) => `${c}: &${c} [${Array(9).fill(`*${'abcdefgh'[i]}`).join(',')}]`),
    ];
    expect(complaint(bomb.join('\n'))).toContain('my.yaml');
  });
});
