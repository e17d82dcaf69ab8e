/** Markup that is known to be safe: made by the `html` tag, never from data. */
export class SafeHtml {
  constructor(readonly text: string) {}
  toString(): string {
    return this.text;
  }
}

/** What the tag takes between `${` and `}`: text is escaped, `SafeHtml` is not, lists are joined, null and false leave nothing. */
export type HtmlPart = SafeHtml | string | number | null | undefined | false | readonly HtmlPart[];

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
  '`': '&#96;',
};

// Control characters (XML 1.0 section 2.2 forbids most) and the bidirectional overrides that let a file name read
// backwards; both show as a visible replacement mark instead of acting.
const UNPRINTABLE = /[^\P{Cc}\t\n\r]|[\u202a-\u202e\u2066-\u2069\ufffe\uffff]/gu;

/** Escape text for element content and for quoted attribute values, HTML and SVG alike; any string is allowed. */
export function escapeText(text: string): string {
  return text.replace(UNPRINTABLE, '\ufffd').replace(/[&<>"'`]/g, (character) => ENTITIES[character]!);
}

function partText(part: HtmlPart): string {
  if (part === null || part === undefined || part === false) return '';
  if (part instanceof SafeHtml) return part.text;
  if (typeof part === 'string') return escapeText(part);
  if (typeof part === 'number') return String(part);
  return part.map(partText).join('');
}

/**
 * The one way to make markup: every value is escaped unless it is `SafeHtml` already.
 * Attribute values must be quoted in the template, and no value may stand inside `<script>`, `<style>` or a URL attribute
 * other than a `data:` URL made by `dataUrl`.
 */
export function html(strings: TemplateStringsArray, ...parts: readonly HtmlPart[]): SafeHtml {
  const fixed = withoutIndent(strings);
  let text = fixed[0]!;
  for (let i = 0; i < parts.length; i++) text += partText(parts[i]) + fixed[i + 1]!;
  return new SafeHtml(text);
}

const unindented = new WeakMap<TemplateStringsArray, readonly string[]>();

/** The template without the indentation of the source: HTML reads any run of blanks as one. */
function withoutIndent(strings: TemplateStringsArray): readonly string[] {
  let fixed = unindented.get(strings);
  if (!fixed) {
    fixed = strings.map((text) => text.replace(/\n\s*/g, '\n'));
    unindented.set(strings, fixed);
  }
  return fixed;
}

/** Mark text written in this source (style sheet, script) as safe. Never call it with anything that came from a file. */
export function trusted(text: string): SafeHtml {
  return new SafeHtml(text);
}

/** An encoded picture as a `data:` URL; the type is read from its first bytes, anything but PNG and WebP is a RangeError. */
export function dataUrl(picture: Uint8Array): SafeHtml {
  const type = pictureType(picture);
  if (type === null) throw new RangeError('a picture in the page must be PNG or WebP');
  return new SafeHtml(
    `data:image/${type};base64,${Buffer.from(picture.buffer, picture.byteOffset, picture.byteLength).toString('base64')}`,
  );
}

function pictureType(picture: Uint8Array): 'png' | 'webp' | null {
  const ascii = (from: number, to: number) => String.fromCharCode(...picture.subarray(from, to));
  if (ascii(1, 4) === 'PNG') return 'png';
  if (ascii(0, 4) === 'RIFF' && ascii(8, 12) === 'WEBP') return 'webp';
  return null;
}
