import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { unreadableSubs } from '../../src/cli/unreadable-subs.js';
import type { ErrorRecord } from '../../src/errors.js';

const error: ErrorRecord = {
  code: 'fits-format',
  message: 'a.fits: is incomplete',
  remedy: 'wait',
  file: 'a.fits',
};

describe('subs of a running night that cannot be read', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  it('are told when they stay so', () => {
    const told: string[] = [];
    const subs = unreadableSubs((frame) => told.push(frame.file), 10_000);
    subs.add('a.fits', error);
    vi.advanceTimersByTime(9_000);
    expect(told).toEqual([]);
    vi.advanceTimersByTime(2_000);
    expect(told).toEqual(['a.fits']);
    subs.flush();
    expect(told).toEqual(['a.fits']);
    expect(subs.list()).toEqual([{ file: 'a.fits', error }]);
  });

  it('are forgotten when they become whole', () => {
    const told: string[] = [];
    const subs = unreadableSubs((frame) => told.push(frame.file), 10_000);
    subs.add('a.fits', error);
    subs.clear('a.fits');
    vi.advanceTimersByTime(60_000);
    expect(told).toEqual([]);
    expect(subs.list()).toEqual([]);
  });

  it('are told at once when the night ends, and count from their last failure', () => {
    const told: string[] = [];
    const subs = unreadableSubs((frame) => told.push(frame.file), 10_000);
    subs.add('a.fits', error);
    vi.advanceTimersByTime(8_000);
    subs.add('a.fits', error);
    vi.advanceTimersByTime(8_000);
    expect(told).toEqual([]);
    subs.flush();
    expect(told).toEqual(['a.fits']);
  });
});
