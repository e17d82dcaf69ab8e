/** The three palettes of page and pictures: same look, other light. `night` is red on black and nothing else, for dark-adapted eyes. */
export type PaletteName = 'light' | 'dark' | 'night';

/** Every colour by its role. Text roles reach 4.5:1 on paper and raised, marks 3:1 (WCAG 2.2, 1.4.3 and 1.4.11). */
export interface Palette {
  readonly paper: string;
  readonly raised: string;
  readonly ink: string;
  /** Quieter text. */
  readonly soft: string;
  readonly line: string;
  readonly grid: string;
  readonly accent: string;
  /** Rejected frames, limits, things that want attention. */
  readonly alert: string;
  /** Marks of up to six groups (shape tells them apart as well). */
  readonly groups: readonly [string, string, string, string, string, string];
  /** Blur budget: seeing, focus, tilt, curvature, coma, tracking (texture tells them apart as well). */
  readonly blur: readonly [string, string, string, string, string, string];
  /** Contour steps, sharp to soft: a rise in lightness alone tells them apart. */
  readonly contours: readonly [string, string, string, string, string, string, string];
  /** Sticks of the sensor map, seen on every contour step. */
  readonly stick: string;
}

export const palettes: Readonly<Record<PaletteName, Palette>> = {
  light: {
    paper: '#f5f2ea',
    raised: '#fdfbf6',
    ink: '#23272c',
    soft: '#575d64',
    line: '#cfc8b8',
    grid: '#e4dfd2',
    accent: '#1d5570',
    alert: '#9c3d17',
    groups: ['#1d5570', '#b3631b', '#55752a', '#7b4a8c', '#15807f', '#6d5a1c'],
    blur: ['#a9b4bd', '#1d5570', '#c67a34', '#dcb653', '#7b4a8c', '#33363a'],
    contours: ['#f6f4ea', '#e5ebe9', '#d2e0e2', '#bcd2d9', '#a3c2ce', '#89b0c1', '#6f9eb3'],
    stick: '#1b1d20',
  },
  dark: {
    paper: '#12161b',
    raised: '#1a2027',
    ink: '#dbe0e5',
    soft: '#a0a9b3',
    line: '#3a444f',
    grid: '#28303a',
    accent: '#86bdd8',
    alert: '#f0a376',
    groups: ['#86bdd8', '#e3a05e', '#a8c276', '#c79bd8', '#6cc7c2', '#d3bd72'],
    blur: ['#66727d', '#86bdd8', '#d98b45', '#e6c768', '#b583c9', '#f1f1ee'],
    contours: ['#171d23', '#1b2731', '#1f323f', '#243d4e', '#29495e', '#2f566f', '#366480'],
    stick: '#f4e9cb',
  },
  night: {
    paper: '#000000',
    raised: '#0c0000',
    ink: '#ff0000',
    soft: '#f40000',
    line: '#6a0000',
    grid: '#3a0000',
    accent: '#ff0000',
    alert: '#ff0000',
    groups: ['#ff0000', '#e00000', '#ff0000', '#e00000', '#ff0000', '#e00000'],
    blur: ['#5a0000', '#ff0000', '#c80000', '#a00000', '#e40000', '#7c0000'],
    contours: ['#000000', '#160000', '#280000', '#3a0000', '#4c0000', '#5e0000', '#700000'],
    stick: '#ff0000',
  },
};

/** The palette as CSS custom properties: `--paper:#...;`. */
export function paletteProperties(palette: Palette): string {
  return Object.entries(paletteTokens(palette))
    .map(([name, colour]) => `--${name}:${colour};`)
    .join('');
}

/** Replace every `var(--name)` of a style sheet by the palette's colour: for renderers that know no custom properties. */
export function resolveColours(css: string, palette: Palette): string {
  const tokens = paletteTokens(palette);
  return css.replace(/var\(--([a-z0-9]+)\)/g, (whole, name: string) => tokens[name] ?? whole);
}

function paletteTokens(palette: Palette): Record<string, string> {
  const tokens: Record<string, string> = {};
  for (const [name, value] of Object.entries(palette) as [string, string | readonly string[]][]) {
    if (typeof value === 'string') tokens[name] = value;
    else value.forEach((colour, i) => (tokens[`${name}${i}`] = colour));
  }
  return tokens;
}
