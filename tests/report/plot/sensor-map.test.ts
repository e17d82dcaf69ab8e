import { describe, expect, it } from 'vitest';
import { describeMap, drawSensorMap } from '../../../src/report/plot/sensor-map.js';
import { syntheticNight } from '../synthetic-night.js';

const frame = syntheticNight({ frames: 1 }).frames[0]!;
const input = { field: frame.field, widthPx: 6248, heightPx: 4176, unitPerPx: 1.46, unitSign: '″' };

/** Sticks read back: middle, length and axis angle with y up. */
function sticks(svg: string): { x: number; y: number; length: number; angle: number }[] {
  const path = /class="stick" d="([^"]*)"/.exec(svg)![1]!;
  return [...path.matchAll(/M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)/g)].map((match) => {
    const [x1, y1, x2, y2] = match.slice(1).map(Number) as [number, number, number, number];
    const angle = (Math.atan2(-(y2 - y1), x2 - x1) * 180) / Math.PI;
    return {
      x: (x1 + x2) / 2,
      y: (y1 + y2) / 2,
      length: Math.hypot(x2 - x1, y2 - y1),
      angle: (angle + 180) % 180,
    };
  });
}

describe('drawSensorMap', () => {
  it('draws each cell as a stick in its place, along its axis, as long as its elongation says', () => {
    const drawn = sticks(drawSensorMap(input, 420).content.text);
    expect(drawn).toHaveLength(frame.field.cells.length);
    const height = (420 * 4176) / 6248;
    frame.field.cells.forEach((cell, i) => {
      const stick = drawn[i]!;
      // Places are written to 0.01 units.
      expect(stick.x).toBeCloseTo(((cell.x - 0.5) / 6248) * 420, 1);
      expect(stick.y).toBeCloseTo(height - ((cell.y - 0.5) / 4176) * height, 1);
      expect(stick.length).toBeCloseTo(((420 / 7) * (cell.elongation - 1)) / 0.5, 1);
      const turn = Math.abs(stick.angle - cell.angleDeg);
      // A stick of 4 units written to 0.01 turns by up to 0.2 degrees.
      expect(Math.min(turn, 180 - turn)).toBeLessThan(0.3);
    });
  });

  it('labels the contours with the range of the cells', () => {
    const widths = frame.field.cells.map((cell) => cell.fwhmPx * 1.46);
    const { text } = drawSensorMap(input, 420).content;
    expect(text).toContain(`${Math.min(...widths).toFixed(2)}″`);
    expect(text).toContain(`${Math.max(...widths).toFixed(2)}″`);
  });

  it('points the arrow to the side that grows softer, and draws none within the error', () => {
    const { text } = drawSensorMap(input, 420).content;
    const arrow = /class="tilt" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)/.exec(text)!.slice(1).map(Number);
    const angle = (Math.atan2(arrow[1]! - arrow[3]!, arrow[2]! - arrow[0]!) * 180) / Math.PI;
    expect((angle + 360) % 360).toBeCloseTo(212, 0);
    const vague = { ...frame.field, tilt: { ...frame.field.tilt!, fwhmSpanErrorPercent: 6 } };
    expect(drawSensorMap({ ...input, field: vague }, 420).content.text).not.toContain('class="tilt"');
  });

  it('draws the tilt that the subs show together from end to end, in place of the slope', () => {
    const sensorTilt = { directionDeg: 130, span: 223, spanError: 4, unit: 'µm' };
    const { text } = drawSensorMap({ ...input, sensorTilt }, 420).content;
    const [path] = /(?<=class="tilt" d=")[^"]+/.exec(text)!;
    const ends = [...path.matchAll(/[ML]([\d.]+) ([\d.]+)/g)]
      .slice(0, 2)
      .map(([, x, y]) => [Number(x), Number(y)]);
    const [[x1, y1], [x2, y2]] = ends as [[number, number], [number, number]];
    expect((Math.atan2(y1 - y2, x2 - x1) * 180) / Math.PI).toBeCloseTo(130, 0);
    const height = (420 * 4176) / 6248;
    // From edge to edge: "tiny" is what it must not be.
    expect(Math.hypot(x2 - x1, y2 - y1)).toBeGreaterThan(0.9 * height);
    expect(text.match(/class="tilt"/g)).toHaveLength(1);
    expect(describeMap({ ...input, sensorTilt })).toContain(
      'tilted by 223 ± 4 µm corner to corner, best focus farthest out at the top left (130°)',
    );
  });

  it('cuts sticks off at the edge of the sensor', () => {
    const { text } = drawSensorMap(input, 420).content;
    expect(text).toMatch(
      /<svg[^>]*>\s*<path class="halo" d="[^"]*" ?\/><path class="stick"[\s\S]*?<\/svg\s*>/,
    );
  });

  it('draws an even field as one even colour', () => {
    const even = { ...frame.field, cells: frame.field.cells.map((cell) => ({ ...cell, fwhmPx: 2.3 })) };
    const { text } = drawSensorMap({ ...input, field: even }, 420).content;
    // Everything lies at the middle step; the steps above it are not drawn on the map.
    expect(text).not.toMatch(/<path class="c[56]"/);
  });

  it('says so when no star could be mapped, and copes with one cell', () => {
    const empty = drawSensorMap({ ...input, field: { ...frame.field, cells: [] } }, 420);
    expect(empty.content.text).toContain('no star fit to be mapped');
    const one = { ...frame.field, cells: frame.field.cells.slice(0, 1) };
    expect(drawSensorMap({ ...input, field: one }, 420).content.text).not.toContain('NaN');
  });

  it('keeps the shape of a portrait sensor', () => {
    const tall = drawSensorMap({ ...input, widthPx: 1000, heightPx: 1500 }, 200);
    expect(tall.height).toBeGreaterThan(300);
  });
});

describe('describeMap', () => {
  it('a slope within twice its error has no direction', () => {
    const tilt = { ...frame.field.tilt!, fwhmSpanPercent: 2.5, fwhmSpanErrorPercent: 2.8 };
    const words = describeMap({ ...input, field: { ...frame.field, tilt } });
    expect(words).toMatch(/^No slope of star size is seen \(2\.5 ± 2\.8 %/);
    expect(words).not.toContain('softer');
  });

  it('puts slope, curvature and radial shape into words', () => {
    const words = describeMap(input);
    expect(words).toContain('bottom left (212°): 9.4 ± 1.1 %');
    expect(words).toContain('+6.2 ± 1.4 %');
    expect(words).toContain('along the radius (+0.040 ± 0.006)');
    const unsure = { ...frame.field, curvatureErrorPercent: 4, radialError: 0.03 };
    expect(describeMap({ ...input, field: unsure })).toContain(
      'Corners are as sharp as the centre within the errors (+6.2 ± 4.0 %). Outer stars show no preferred direction',
    );
    expect(
      describeMap({ ...input, field: { ...frame.field, tilt: null, curvaturePercent: null, radial: 0.001 } }),
    ).toBe(
      'No slope of star size could be fitted. Outer stars show no preferred direction about the centre.',
    );
  });
});
