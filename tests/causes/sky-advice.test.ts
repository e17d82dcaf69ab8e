import { describe, expect, it } from 'vitest';
import { skyAdvice } from '../../src/causes/sky-advice.js';
import type { SkyWitness } from '../../src/causes/sky-source.js';

const lights = {
  sunAltitudeDeg: -40,
  moonAltitudeDeg: 20,
  moonLit: 0.9,
  moonPhaseDeg: 150,
  moonSeparationDeg: 40,
};
const distant = {
  moonLit: 0.1,
  moonPhaseDeg: 30,
  moonSeparationDeg: 100,
  sunSeparationDeg: 110,
  sunAltitudeDeg: null,
  moonAltitudeDeg: null,
};
const frame = (file: string, witness: SkyWitness, airmass: number | null = 1.1) => ({
  file,
  witness,
  airmass,
});

describe('skyAdvice', () => {
  it('says where a source was not checked rather than denying it', () => {
    const text = skyAdvice([frame('a', { source: 'unknown', lights: null, distant })]);
    expect(text).toContain('twilight was not checked');
    expect(text).not.toContain('explains it');
    expect(skyAdvice([frame('a', { source: 'unknown', lights: null, distant: null })])).toContain(
      'when and where',
    );
    expect(
      skyAdvice([frame('a', { source: 'unknown', lights: null, distant: { ...distant, moonLit: 0.8 } })]),
    ).toContain('likely source');
  });

  it('names the frames where several sources lit them', () => {
    const text = skyAdvice([
      frame('a', { source: 'moon', lights, distant: null }),
      frame('b', { source: 'twilight', lights: { ...lights, sunAltitudeDeg: -8 }, distant: null }),
    ]);
    expect(text).toMatch(/^b: twilight.* a: moonlight \(90 % lit, 40 deg from the target\)/);
    expect(skyAdvice([frame('a', { source: 'moon', lights, distant: null })])).toMatch(/^moonlight/);
  });

  it('knows low targets and the day', () => {
    expect(skyAdvice([frame('a', { source: 'none', lights, distant: null }, 2.6)])).toContain('stood low');
    expect(skyAdvice([frame('a', { source: 'none', lights, distant: null })])).toContain('lamps');
    expect(skyAdvice([frame('a', { source: 'daylight', lights, distant: null })])).toContain('daylight');
  });
});
