import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import {
  addFrameOptions,
  frameOptionsOf,
  positiveNumber,
  wholeNumber,
  type FrameFlags,
} from '../../src/cli/frame-options.js';

const parse = (...args: string[]): FrameFlags =>
  addFrameOptions(new Command().exitOverride().configureOutput({ writeErr: () => undefined }))
    .parse(args, { from: 'user' })
    .opts<FrameFlags>();

describe('the measuring options', () => {
  it('leave everything to the header by default', () => {
    expect(frameOptionsOf(parse())).toEqual({
      scaleArcsecPerPx: null,
      hdu: null,
      salvage: false,
      thorough: false,
    });
    expect(parse().cache).toBe(true);
  });

  it('take scale, HDU, salvage, effort, threads and cache', () => {
    const flags = parse(
      '--scale',
      '1.46',
      '--hdu',
      '2',
      '--salvage',
      '--thorough',
      '--threads',
      '0',
      '--no-cache',
    );
    expect(frameOptionsOf(flags)).toEqual({ scaleArcsecPerPx: 1.46, hdu: 2, salvage: true, thorough: true });
    expect(flags).toMatchObject({ threads: 0, cache: false });
  });
});

describe('the parsers of numbers', () => {
  it.each(['', ' ', 'x', '1e999', '0', '-2'])('positiveNumber refuses %j', (text) => {
    expect(() => positiveNumber(text)).toThrow();
  });
  it.each(['', '1.5', '-1', 'x'])('wholeNumber refuses %j', (text) => {
    expect(() => wholeNumber(text)).toThrow();
  });
  it('read what is a number', () => {
    expect(positiveNumber('2.5')).toBe(2.5);
    expect(wholeNumber('0')).toBe(0);
  });
});
