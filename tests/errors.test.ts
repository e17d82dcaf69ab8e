import { describe, expect, it } from 'vitest';
import {
  FitsFormatError,
  StarassayError,
  UsageError,
  fromErrorRecord,
  toErrorRecord,
} from '../src/errors.js';

describe('errors as plain data', () => {
  it.each([
    new FitsFormatError('a.fits: no END', 'copy it again', 'a.fits'),
    new UsageError('--x: no number', 'give one'),
    new StarassayError('store', 'h.db: locked', 'wait', 'h.db'),
  ])('keep code, words and file over a thread border', (error) => {
    const back = fromErrorRecord(structuredClone(toErrorRecord(error)));
    expect(back).toBeInstanceOf(StarassayError);
    expect(back).toMatchObject({
      code: error.code,
      message: error.message,
      remedy: error.remedy,
      file: error.file,
    });
  });

  it('call what nobody foresaw a failure of the program, and keep its words and the file at hand', () => {
    expect(toErrorRecord(new TypeError('x is undefined'), 'b.fits')).toMatchObject({
      code: 'internal',
      message: 'unexpected failure: x is undefined',
      file: 'b.fits',
    });
    expect(toErrorRecord('bare words').message).toContain('bare words');
  });

  it("prefer the error's own file to the one at hand", () => {
    expect(toErrorRecord(new FitsFormatError('m', 'r', 'own.fits'), 'other.fits').file).toBe('own.fits');
    expect(toErrorRecord(new FitsFormatError('m', 'r'), 'other.fits').file).toBe('other.fits');
  });
});
