import { describe, expect, it } from 'vitest';
import { sweepPage } from '../../../src/report/sweep/sweep-page.js';
import { madeSweep } from './made-sweep.js';

describe('the page of a sweep', () => {
  const page = sweepPage(madeSweep());

  it('stands alone: no script, no address, nothing to fetch', () => {
    expect(page).not.toMatch(/<script|<link|https?:\/\/(?!www\.w3\.org)/);
    expect(page).toContain('default-src');
  });

  it('shows every part of the field, the frames and the advice', () => {
    expect((page.match(/id="tile-\d-\d-t"/g) ?? []).length).toBe(9);
    expect(page).toContain('frame-1.fits');
    expect(page).toContain('Focus at step 12400');
  });

  it('lets nothing from a file become markup', () => {
    const hostile = sweepPage(madeSweep({ leftOut: [{ file: '<img src=x onerror=alert(1)>', why: 'x' }] }));
    expect(hostile).not.toContain('<img src=x');
  });

  it('leads with the missing bracket when there is one', () => {
    const open = madeSweep();
    expect(sweepPage({ ...open, bestFocus: { ...open.bestFocus, bracketed: 'no' } })).toContain(
      'The sweep does not bracket focus.',
    );
  });
});
