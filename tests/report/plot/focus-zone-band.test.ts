import { describe, expect, it } from 'vitest';
import { focusZoneBand } from '../../../src/report/plot/focus-zone-band.js';
import { elements } from '../read-svg.js';

const area = { left: 50, top: 10, width: 300, height: 200 };

describe('the band of the critical focus zone', () => {
  it('spans the plot between its limits and says its width', () => {
    const { text } = focusZoneBand(67.4, area, { topY: 60, bottomY: 100, label: 'top left' });
    expect(elements(text, 'rect')[0]).toMatchObject({ x: '50', y: '60', width: '300', height: '40' });
    expect(text).toContain('critical focus zone, 67 µm');
  });

  it.each([
    ['top left', 'start', 56, 74],
    ['top right', 'end', 344, 74],
    ['top middle', 'middle', 200, 74],
    ['bottom middle', 'middle', 200, 94],
  ] as const)('has its words %s', (label, anchor, x, y) => {
    const { text } = focusZoneBand(67, area, { topY: 60, bottomY: 100, label });
    expect(elements(text, 'text')[0]).toMatchObject({ 'text-anchor': anchor, x: String(x), y: String(y) });
  });
});
