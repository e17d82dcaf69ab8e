import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import { addSweepOptions, addTiltOptions, anyNumber, sweepOptionsOf } from '../../src/cli/sweep-options.js';
import { UsageError } from '../../src/errors.js';

const parse = (...args: string[]) => {
  const command = addTiltOptions(addSweepOptions(new Command()))
    .exitOverride()
    .configureOutput({ writeErr: () => undefined });
  return command.parse(args, { from: 'user' }).opts();
};

describe('options of a sweep', () => {
  it('become those of the assessment', () => {
    const options = sweepOptionsOf(
      parse(
        '--micron-per-step',
        '3.9',
        '--focal-ratio',
        '5.6',
        '--inward',
        'positive',
        '--plate-radius',
        '32',
        '--pitch',
        '0.5',
        '--screws',
        '0,120,240',
      ),
    );
    expect(options).toMatchObject({
      micronPerStep: 3.9,
      focalRatio: 5.6,
      inward: 'positive',
      tiltPlate: { radiusMm: 32, pitchMm: 0.5, screwDirectionsDeg: [0, 120, 240] },
    });
  });

  it('leave to the headers what is not said', () => {
    expect(sweepOptionsOf(parse())).toMatchObject({
      micronPerStep: null,
      focalRatio: null,
      inward: null,
      tiltPlate: null,
    });
    expect(sweepOptionsOf(parse())).not.toHaveProperty('obstruction');
  });

  it('refuse half a tilt plate and nonsense', () => {
    expect(() => sweepOptionsOf(parse('--pitch', '0.5'))).toThrow(UsageError);
    for (const args of [
      ['--micron-per-step', '-1'],
      ['--obstruction', '2'],
      ['--screws', '5'],
      ['--inward', 'left'],
    ]) {
      expect(() => parse(...args)).toThrow();
    }
    expect(() => anyNumber('x')).toThrow();
    expect(anyNumber('-60')).toBe(-60);
  });
});
