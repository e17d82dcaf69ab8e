import { expect, it } from 'vitest';
import { keepBestShare } from '../../src/night/keep-best.js';

const keep = { decision: 'keep' as const, reasons: [] };

it('keepBestShare rejects what ranks below the share, unweighted frames first', () => {
  const result = keepBestShare([keep, keep, keep, keep, keep], [0.5, 1, null, 0.7, 0.2], 0.6);
  expect(result.map((decision) => decision.decision)).toEqual(['keep', 'keep', 'reject', 'keep', 'reject']);
  expect(result[4]!.reasons[0]).toMatchObject({ code: 'keep-best', value: 0.2, limit: 0.5 });
  expect(result[2]!.reasons[0]).toMatchObject({ code: 'keep-best', value: null, limit: 0.5 });
});

it('keepBestShare keeps at least one frame and adds to reasons that are there', () => {
  const rejected = {
    decision: 'reject' as const,
    reasons: [{ code: 'fwhm' as const, message: '', value: 1, limit: 1 }],
  };
  const result = keepBestShare([keep, rejected], [1, 0.1], 0.01);
  expect(result[0]).toEqual(keep);
  expect(result[1]!.reasons.map((reason) => reason.code)).toEqual(['fwhm', 'keep-best']);
});
