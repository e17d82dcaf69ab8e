import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import { addLimitOptions, fraction, limitsOf, type LimitFlags } from '../../src/cli/limit-options.js';

function parse(...args: string[]): LimitFlags {
  const command = addLimitOptions(new Command())
    .exitOverride()
    .configureOutput({ writeErr: () => undefined });
  return command.parse(args, { from: 'user' }).opts<LimitFlags>();
}

describe('the limit options', () => {
  it('name only the limits that were given', () => {
    expect(limitsOf(parse())).toEqual({});
    expect(limitsOf(parse('--max-elongation', '1.2', '--min-stars', '20'))).toEqual({
      elongation: 1.2,
      minStars: 20,
    });
  });

  it('switch a limit off with a word', () => {
    expect(limitsOf(parse('--max-fwhm-ratio', 'off', '--min-weight', 'off'))).toEqual({
      fwhmFactor: null,
      weight: null,
    });
  });

  it('take a part as a fraction or in per cent, and nothing above the whole', () => {
    expect(limitsOf(parse('--min-transparency', '70%', '--min-weight', '0.5'))).toEqual({
      transparency: 0.7,
      weight: 0.5,
    });
    expect(() => parse('--min-transparency', '70')).toThrow();
  });

  it.each(['0', '-1', 'abc', '', 'NaN'])('refuse %j', (text) => {
    expect(() => parse('--max-fwhm', text)).toThrow();
  });
});

describe('fraction', () => {
  it('reads per cent and parts alike', () => {
    expect(fraction('80%')).toBeCloseTo(0.8);
    expect(fraction(' 80 % ')).toBeCloseTo(0.8);
    expect(fraction('0.8')).toBe(0.8);
    expect(fraction('1')).toBe(1);
  });

  it.each(['0', '80', '101%', '-5%', 'most', '..'])('refuses %j', (text) => {
    expect(() => fraction(text)).toThrow();
  });
});
