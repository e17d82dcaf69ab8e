import { describe, expect, it } from 'vitest';
import { frameViewer } from '../../../src/report/panels/frame-viewer.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const png = Uint8Array.of(0x89, 0x50, 0x4e, 0x47);
const night = syntheticNight({ frames: 12, pictures: () => ({ preview: png, atlas: png }) });
const draw = (value = night, pictures = true) => frameViewer.draw(viewNight(value, { pictures }))!.text;

describe('frame viewer', () => {
  it('folds each frame away with its pictures, figures, reasons and causes', () => {
    const text = draw();
    expect(text.match(/<details/g)).toHaveLength(12);
    expect(text.match(/<img/g)).toHaveLength(24);
    expect(text).toContain('2.298 ± 0.012 px');
    // A cause that the night's list does not hold is named by its code, without a link that leads nowhere.
    expect(text).toContain('guiding-trail (93 %)');
    const drift = { ...night.frames[0]!, causes: [{ code: 'focus-drift', confidence: 0.5 }] };
    expect(draw({ ...night, frames: [drift] })).toContain(
      '<a href="#cause-focus-drift">Focus drifted through the night</a> (50 %)',
    );
  });

  it('leaves the pictures out on request', () => {
    expect(draw(night, false)).not.toContain('<img');
  });

  it('says why a figure could not be measured', () => {
    const [first] = night.frames;
    const unmeasured = { ...first!, elongation: null, unmeasured: { elongation: 'only three stars' } };
    expect(draw({ ...night, frames: [unmeasured] })).toContain('elongation: only three stars');
  });
});
