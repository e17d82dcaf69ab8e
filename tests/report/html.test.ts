import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dataUrl, escapeText, html, trusted } from '../../src/report/html.js';

describe('html', () => {
  it('escapes text, joins lists, drops null, undefined and false, and leaves markup alone', () => {
    const part = html`<b>${'a<b>&"'}</b>`;
    expect(String(html`<p title="${'"x"'}">${[part, 1, null, undefined, false]}</p>`)).toBe(
      '<p title="&quot;x&quot;"><b>a&lt;b&gt;&amp;&quot;</b>1</p>',
    );
  });

  it('leaves out the indentation of the source', () => {
    const template = Object.assign(['<p>\n      a\n    </p>'], { raw: [] });
    expect(html(template).text).toBe('<p>\na\n</p>');
  });

  it('never lets a string end its element or its attribute, whatever it holds', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(escapeText(text)).not.toMatch(/[<>"'`]|(?![\t\n\r])\p{Cc}|\u202e/u);
      }),
    );
  });

  it('shows control and direction characters as replacement marks', () => {
    expect(escapeText('a\u001b[31mb\u202etxt.stif')).toBe('a\ufffd[31mb\ufffdtxt.stif');
  });
});

describe('trusted', () => {
  it('passes text of this source through', () => {
    expect(String(html`${trusted('<i>')}`)).toBe('<i>');
  });
});

describe('dataUrl', () => {
  it('names the type by the first bytes', () => {
    expect(dataUrl(Uint8Array.of(0x89, 0x50, 0x4e, 0x47)).text).toBe('data:image/png;base64,iVBORw==');
    const webp = new TextEncoder().encode('RIFF0000WEBP');
    expect(dataUrl(webp).text).toMatch(/^data:image\/webp;base64,/);
  });

  it('refuses anything that is not a picture', () => {
    expect(() => dataUrl(new TextEncoder().encode('<svg onload=alert(1)>'))).toThrow(RangeError);
    expect(() => dataUrl(new Uint8Array(0))).toThrow(RangeError);
  });
});
