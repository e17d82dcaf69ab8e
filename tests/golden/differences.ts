/**
 * Where two JSON values differ, as `path: expected -> found` lines; numbers count as equal within `tolerance` (relative).
 *
 * @returns an empty list when they agree
 */
export function differences(expected: unknown, found: unknown, tolerance: number, path = ''): string[] {
  if (typeof expected === 'number' && typeof found === 'number') {
    const scale = Math.max(Math.abs(expected), Math.abs(found));
    return Math.abs(expected - found) <= tolerance * scale ? [] : [`${path}: ${expected} -> ${found}`];
  }
  if (isContainer(expected) && isContainer(found) && Array.isArray(expected) === Array.isArray(found)) {
    const keys = new Set([...Object.keys(expected), ...Object.keys(found)]);
    return [...keys].flatMap((key) =>
      differences(expected[key], found[key], tolerance, path === '' ? key : `${path}.${key}`),
    );
  }
  return Object.is(expected, found) ? [] : [`${path}: ${shown(expected)} -> ${shown(found)}`];
}

function isContainer(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

function shown(value: unknown): string {
  return value === undefined ? 'nothing' : JSON.stringify(value).slice(0, 80);
}
