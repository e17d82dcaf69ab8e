import { describe, expect, it } from 'vitest';
import { causes } from '../../../src/report/panels/causes.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 12 });
const draw = (value = night) => causes.draw(viewNight(value, { pictures: false }))!.text;

describe('causes', () => {
  it('lists what was found, surest first, with confidence, advice, evidence and the subs concerned', () => {
    const text = draw();
    expect(text.indexOf('Focus drifted')).toBeLessThan(text.indexOf('The sensor is tilted'));
    expect(text).toContain('very likely (91 %)');
    expect(text).toContain('Refocus every degree of cooling');
    expect(text).toContain('41 ± 6 µm');
    expect(text).toContain('33.5 µm');
    expect(text).toContain('bottom left');
    expect(text).toContain('12 subs concerned');
    expect(text).toContain('href="#f3"');
  });

  it('says what was looked for without being found, and what cannot be told, and why', () => {
    const text = draw();
    expect(text).toMatch(/Looked for and not found: 1[^]*Transparency stayed above 0.9\./);
    expect(text).toMatch(/Cannot be told from this night: 1[^]*Fewer than ten subs\./);
  });

  it('says that nothing asks for a change when nothing was found', () => {
    const clear = night.night.causes.filter((cause) => cause.answer !== 'found');
    expect(draw({ ...night, night: { ...night.night, causes: clear } })).toContain(
      'Nothing was found that asks for a change',
    );
  });

  it('urges nobody on weak evidence: such a cause is folded away', () => {
    const weak = night.night.causes.map((cause) => ({
      ...cause,
      confidence: cause.code === 'sensor-tilt' ? 0.3 : cause.confidence,
    }));
    const text = draw({ ...night, night: { ...night.night, causes: weak } });
    expect(text).toMatch(/Not ruled out, on weak evidence: 1<\/summary>[^]*The sensor is tilted/);
  });
});
