import { describe, expect, it } from 'vitest';
import { whatIf } from '../../../src/report/panels/what-if.js';
import { viewNight } from '../../../src/report/view.js';
import { bottomReader, group, leftReader } from '../read-svg.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 40 });
const draw = (value = night) => whatIf.draw(viewNight(value, { pictures: false }));

describe('what-if', () => {
  it('draws curves that read back as the points of the record, and marks the present choice', () => {
    const { text } = draw()!;
    const wide = text.slice(text.indexOf('scroller wide'), text.indexOf('scroller narrow'));
    const readKept = bottomReader(wide);
    for (const [id, factor] of [
      ['fwhm', 1],
      ['depth', 100],
    ] as const) {
      const row = group(wide, `data-row="${id}"`);
      const read = leftReader(row);
      const path = /class="curve"[^>]*\bd="([^"]*)"/.exec(row.replace(/\n/g, ' '))![1]!;
      const points = path
        .slice(1)
        .split('L')
        .map((pair) => pair.split(',').map(Number));
      expect(points).toHaveLength(40);
      night.night.whatIf.forEach((point, i) => {
        // Places are written to 0.01 units of 130 and 1000.
        expect(readKept(points[i]![0]!)).toBeCloseTo(point.kept, 2);
        expect(read(points[i]![1]!) / factor).toBeCloseTo(point[id], 2);
      });
      const here = /class="here"\s+x1="([\d.]+)"/.exec(row)!;
      expect(readKept(Number(here[1]))).toBeCloseTo(night.night.summary.kept, 1);
    }
  });

  it('is not drawn for one point, and marks nothing when the present choice is not on the curve', () => {
    expect(draw(syntheticNight({ frames: 1 }))).toBeNull();
    const off = {
      ...night,
      night: {
        ...night.night,
        whatIf: night.night.whatIf.filter(({ kept }) => kept % 2 === (night.night.summary.kept + 1) % 2),
      },
    };
    expect(draw(off)!.text).not.toContain('class="here"');
  });

  it('keeps its table short but with the present choice', () => {
    const { text } = draw(syntheticNight({ frames: 400 }))!;
    expect(text.match(/<tr/g)!.length).toBeLessThan(32);
    expect(text).toContain('<td>yes</td>');
  });
});
