import { describe, expect, it } from 'vitest';
import { historyVerdict } from '../../../src/rig/verdict/history-verdict.js';
import { rigHistory } from '../../../src/rig/rig-history.js';
import type { FrameAssessment } from '../../../src/field/types.js';
import { recordSpacingSensitivity } from '../../../src/rig/spacing-sensitivity.js';
import { madeNight, madeStore, onlyRig, wobble } from '../made-history.js';

describe('what the history says of a night', () => {
  it('names rig and nights, what is unusual, and the spacing by the measured sensitivity', () => {
    const store = madeStore(wobble(20).map((v) => ({ tiltMicron: 15 + v })));
    recordSpacingSensitivity(store, onlyRig(store).id, { micronPerMm: 60, error: 3 });
    const night = madeNight('2026-03-01', { tiltMicron: 60, frames: 20 });
    const history = rigHistory(store, night.frames as unknown as FrameAssessment[])!;
    store.close();
    const verdict = historyVerdict(night, history);
    expect(verdict).toMatchObject({
      rig: 'Marsh 106, 530 mm, Heron 26M',
      nights: 20,
      spacing: { addMm: 0.5 },
    });
    expect(verdict.unusual.map((one) => one.metric)).toEqual(['tilt']);
    const empty = { rigId: 'x', rigName: 'x', figures: {} };
    expect(historyVerdict(night, { normals: empty, sensitivity: null })).toEqual({
      rig: 'x',
      nights: 0,
      unusual: [],
      spacing: null,
    });
  });
});
