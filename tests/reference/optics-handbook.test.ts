import { describe, expect, it } from 'vitest';
import { criticalFocusZoneMicron } from '../../src/optics/focus-zone.js';
import { plateShiftMm } from '../../src/optics/plate-shift.js';
import { reducerDistanceMm } from '../../src/optics/reducer.js';
import { shimMicron, tiltAngleArcmin } from '../../src/optics/tilt-shim.js';

describe('handbook figures', () => {
  it('critical focus zone: green light at f/5 gives 67.1 um (two Airy diameters of Born & Wolf 8.5.2 times N)', () => {
    const airyDiameter = 2 * 1.21967 * 0.55 * 5; // first dark ring: 3.83171 / pi = 1.21967
    expect(criticalFocusZoneMicron(0.55, 5)).toBeCloseTo(67.1, 1);
    // 2.44 is the rounded 2 x 1.21967: 3e-4.
    expect(criticalFocusZoneMicron(0.55, 5) / (2 * airyDiameter * 5)).toBeCloseTo(1, 3);
  });

  it('plate: 2 mm of borosilicate crown (n = 1.5168, the d line of the common crown) moves focus by 0.681 mm', () => {
    expect(plateShiftMm(2, 1.5168)).toBeCloseTo(0.681, 3);
  });

  it('plate: equals two refractions by Snell at a small angle', () => {
    const angle = 1e-4;
    const inside = Math.asin(Math.sin(angle) / 1.5168);
    const lateral = 2 * (Math.tan(angle) - Math.tan(inside));
    expect(plateShiftMm(2, 1.5168)).toBeCloseTo(lateral / Math.tan(angle), 7);
  });

  it('reducer: thin-lens imaging of a virtual object gives the same distance', () => {
    // Object at +s behind the lens: 1/s' = 1/s + 1/f, magnification s'/s (Smith, Modern Optical Engineering, Gaussian imagery).
    const object = 80;
    const focal = 250;
    const image = 1 / (1 / object + 1 / focal);
    expect(reducerDistanceMm(image / object, focal)).toBeCloseTo(image, 9);
  });

  it('tilt: 40 um over 28.3 mm is 4.86 arcmin, and 76 um on a 54 mm flange', () => {
    expect(tiltAngleArcmin(40, 28.3)).toBeCloseTo(4.859, 3);
    expect(shimMicron(tiltAngleArcmin(40, 28.3), 54)).toBeCloseTo(76.3, 1);
  });
});
