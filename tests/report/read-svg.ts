// Reads figures back from drawn SVG by its axis labels alone, the way a reader's eye does.

/** Attributes of every element of a name, in order. */
export function elements(svg: string, name: string): Record<string, string>[] {
  return [...svg.matchAll(new RegExp(`<${name}\\b([^>]*)>`, 'g'))].map((match) => attributes(match[1]!));
}

function attributes(text: string): Record<string, string> {
  return Object.fromEntries([...text.matchAll(/([\w-]+)="([^"]*)"/g)].map((match) => [match[1]!, match[2]!]));
}

/** The part of a page between a marker and the end of its group of the same depth. */
export function group(svg: string, marker: string): string {
  const at = svg.indexOf(marker);
  if (at < 0) throw new Error(`no ${marker} in the drawing`);
  const start = svg.lastIndexOf('<g', at);
  let depth = 0;
  for (const match of svg.slice(start).matchAll(/<g\b|<\/g\s*>/g)) {
    depth += match[0].startsWith('</g') ? -1 : 1;
    if (depth === 0) return svg.slice(start, start + match.index + match[0].length);
  }
  throw new Error('the group does not end');
}

/** From a place on the left axis to its figure, by the first and the last axis label. */
export function leftReader(svg: string): (y: number) => number {
  return reader(labels(svg, 'left').map(({ y, value }) => ({ at: y, value })));
}

/** The same for the axis at the bottom. */
export function bottomReader(svg: string): (x: number) => number {
  return reader(labels(svg, 'bottom').map(({ x, value }) => ({ at: x, value })));
}

function labels(svg: string, side: 'left' | 'bottom'): { x: number; y: number; value: number }[] {
  const axis = group(svg, `class="axis ${side}"`);
  return [...axis.matchAll(/<text([^>]*)>([^<]*)<\/text\s*>/g)].map((match) => {
    const place = attributes(match[1]!);
    return { x: Number(place.x), y: Number(place.y), value: Number(match[2]!.trim().replace('−', '-')) };
  });
}

function reader(ticks: readonly { at: number; value: number }[]): (at: number) => number {
  if (ticks.length < 2) throw new Error('fewer than two axis labels');
  const first = ticks[0]!;
  const last = ticks[ticks.length - 1]!;
  const slope = (last.value - first.value) / (last.at - first.at);
  return (at) => first.value + (at - first.at) * slope;
}

/** Places of the marks by frame index. */
export function markPlaces(svg: string): Map<number, { x: number; y: number; kept: boolean }> {
  return new Map(
    elements(svg, 'use')
      .filter((use) => use['data-f'] !== undefined)
      .map((use) => {
        const place = /translate\(([-\d.]+) ([-\d.]+)\)/.exec(use.transform!)!;
        return [
          Number(use['data-f']),
          { x: Number(place[1]), y: Number(place[2]), kept: use.href!.startsWith('#k') },
        ];
      }),
  );
}
