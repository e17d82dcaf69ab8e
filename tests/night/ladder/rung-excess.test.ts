import { describe, expect, it } from 'vitest';
import { focusError, rungExcess } from '../../../src/night/ladder/rung-excess.js';
import { bowlFrame } from './bowl-frame.js';

describe('the corner blur of a rung', () => {
  it('has an error that the scatter of its frames widens, and their number narrows', () => {
    const alike = [1, 2, 3].map((seed) => bowlFrame({ curvatureMicron: 60, seed, noise: 0.01 }));
    const seeing = [2, 2.6, 3.2].map((fwhmPx, seed) =>
      bowlFrame({ curvatureMicron: 60, seed, noise: 0.01, fwhmPx, focusMicron: 10 * seed }),
    );
    expect(rungExcess(seeing)!.error).toBeGreaterThan(3 * rungExcess(alike)!.error);
    expect(rungExcess(alike)!.error).toBeLessThan(rungExcess(alike.slice(0, 1))!.error);
  });

  it('is null where no frame has stars all over', () => {
    expect(rungExcess([])).toBeNull();
    expect(rungExcess([bowlFrame({ curvatureMicron: 60, cells: 4 })])).toBeNull();
  });

  it('knows what an unknown focus error does to it', () => {
    const rung = rungExcess([bowlFrame({ curvatureMicron: 60 })])!;
    // An eighth of the critical focus zone at f/5, 67.1 um, over f/5 and 3.76 um.
    expect(rung.focusScatterPx).toBeCloseTo(67.1 / 8 / 5 / 3.76, 2);
    // Without an excess: a curvature of twice the scatter, undone by a focus error of the other sign.
    expect(focusError(0, rung)).toBeCloseTo(rung.focusScatterPx ** 2 / 4, 9);
    // (z0 + k)^2 - z0^2 = k^2 + 2 z0 k, in blur discs over 16.
    const k = 30;
    expect(focusError((k * k) / 16, rung)).toBeCloseTo((2 * rung.focusScatterPx * k) / 16, 2);
    const unknown = rungExcess([{ ...bowlFrame({ curvatureMicron: 60 }), scale: null }])!;
    expect(unknown.focusScatterPx).toBeGreaterThan(0);
  });
});
