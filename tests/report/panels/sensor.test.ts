import { describe, expect, it } from 'vitest';
import { sensor } from '../../../src/report/panels/sensor.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 20 });
const draw = (value = night) => sensor.draw(viewNight(value, { pictures: false }));

describe('sensor panel', () => {
  it('shows all kept subs of each group together, with their star atlas, and its softest sub', () => {
    const png = Uint8Array.of(137, 80, 78, 71);
    const groupAtlases = new Map([[night.groups[0]!.name, png]]);
    const { text } = sensor.draw(viewNight(night, { pictures: true, groupAtlases }))!;
    const kept = night.frames.filter((frame) => frame.decision === 'keep');
    const softest = night.frames.reduce((a, b) => (b.fwhm.px! > a.fwhm.px! ? b : a));
    expect(text).toContain(`<b>all ${kept.length} kept subs together</b>`);
    expect(text).toContain(
      `alt="Star atlas of ${night.groups[0]!.name}, all ${kept.length} kept subs together`,
    );
    expect(text).toContain(Buffer.from(png).toString('base64'));
    expect(text).toMatch(new RegExp(`softest sub</b>\\s*<a href="#f\\d+">${softest.file}`));
  });

  it('says so when nothing of a group was kept; a single sub is shown once', () => {
    const rejected = night.frames.map((frame) => ({ ...frame, decision: 'reject' as const }));
    expect(draw({ ...night, frames: rejected })!.text).toContain('<b>no sub kept: all 20 subs together</b>');
    const one = draw({ ...night, frames: night.frames.slice(0, 1) })!.text;
    expect(one.match(/<figure/g)).toHaveLength(1);
    expect(one).toContain('<b>kept sub</b>');
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
