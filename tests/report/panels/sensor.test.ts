import { describe, expect, it } from 'vitest';
import { sensor } from '../../../src/report/panels/sensor.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 20 });
const draw = (value = night) => sensor.draw(viewNight(value, { pictures: false }));

describe('sensor panel', () => {
  it('shows the kept sub nearest the reference and the softest of each group', () => {
    const { text } = draw()!;
    const kept = night.frames.filter((frame) => frame.decision === 'keep');
    const typical = kept.reduce((a, b) => (Math.abs(b.fwhm.px! - 2.3) < Math.abs(a.fwhm.px! - 2.3) ? b : a));
    const softest = night.frames.reduce((a, b) => (b.fwhm.px! > a.fwhm.px! ? b : a));
    expect(text).toMatch(new RegExp(`typical kept sub</b>\\s*<a href="#f\\d+">${typical.file}`));
    expect(text).toMatch(new RegExp(`softest sub</b>\\s*<a href="#f\\d+">${softest.file}`));
  });

  it('says what the joint fit found, in micrometres, and whether the signs are known', () => {
    const { text } = draw()!;
    expect(text).toContain('38 ± 4 µm towards 212°, 4.6′');
    expect(text).toContain('21 ± 5 µm');
    expect(text).toContain('fixed the signs');
  });

  it('gives the corners in a table, in the unit of the page', () => {
    const corner = night.frames[0]!.field.corners[0]!;
    expect(draw()!.text).toContain('top-left');
    const only = { ...night, frames: night.frames.slice(0, 1) };
    expect(draw(only)!.text).toContain(`<td>${(corner.fwhm! * 1.46).toFixed(2)}</td>`);
  });

  it('is not drawn without a mapped star', () => {
    const frames = night.frames.map((frame) => ({ ...frame, field: { ...frame.field, cells: [] } }));
    expect(draw({ ...night, frames })).toBeNull();
  });
});
