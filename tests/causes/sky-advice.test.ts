import { describe, expect, it } from 'vitest';
import { bySource, skyAdvice } from '../../src/causes/sky-advice.js';
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

  it('names the frame whose moon it tells of where the others had another', () => {
    const later = { ...lights, moonLit: 0.5 };
    const text = skyAdvice([
      frame('a', { source: 'moon', lights, distant: null }),
      frame('b', { source: 'moon', lights: later, distant: null }),
    ]);
    expect(text).toContain('(90 % lit, 40 deg from the target in a)');
  });

  it('says by what moon and twilight were ruled out without a place, and why they were not', () => {
    const dark = { ...distant, sunAltitudeDeg: [-60, -30] as const, moonAltitudeDeg: [-20, -5] as const };
    expect(skyAdvice([frame('a', { source: 'none', lights: null, distant: dark })])).toContain(
      "told from the target's own altitude",
    );
    const open = { ...distant, sunAltitudeDeg: [-40, 10] as const };
    expect(skyAdvice([frame('a', { source: 'unknown', lights: null, distant: open })])).toContain(
      'leaves that of the Sun open',
    );
    expect(skyAdvice([frame('a', { source: 'unknown', lights: null, distant })])).toContain(
      'nor how high the target stood',
    );
  });
});

describe('bySource', () => {
  it('parts frames by source and keeps their order', () => {
    const moon = { source: 'moon' as const, lights, distant: null };
    const none = { source: 'none' as const, lights, distant: null };
    const groups = bySource([frame('a', none), frame('b', moon), frame('c', none)]);
    expect(groups.map((g) => g.map((f) => f.file))).toEqual([['b'], ['a', 'c']]);
  });
});
