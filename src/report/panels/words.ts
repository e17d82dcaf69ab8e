import { html } from '../html.js';
import { percentOf, ratio } from '../numbers.js';
import type { PageView } from '../view.js';
import type { Panel } from './panel.js';

/** What the words and the limits of this page mean. */
export const words: Panel = {
  id: 'words',
  title: 'What the figures mean',
  draw: (view) =>
    html`<dl class="glossary">
        <dt>FWHM</dt>
        <dd>Width of a star at half of its peak, as it lies on the sensor; smaller is sharper.</dd>
        <dt>Half-flux diameter (HFD)</dt>
        <dd>Diameter of the circle that holds half of a star's light; it keeps its meaning out of focus.</dd>
        <dt>Elongation</dt>
        <dd>Long over short axis of the stars; 1 is round.</dd>
        <dt>Transparency</dt>
        <dd>Star light against the best subs of the group; cloud, haze and dew lower it.</dd>
        <dt>Weight</dt>
        <dd>
          Worth of a sub in a stack: (transparency / (noise × FWHM))², the squared signal to noise of a faint
          star, as a part of that of the best sub of its group, which has 1.
        </dd>
        <dt>Keep and reject</dt>
        <dd>${limitsInWords(view)}</dd>
      </dl>
      <p class="caption">
        Directions are those of the picture with the first stored row at the bottom. Made by starassay
        ${view.night.version} from the record of the night; the files were not changed.
      </p>`,
};

function limitsInWords({ night: { limits } }: PageView): string {
  const parts: string[] = [];
  if (limits.fwhmFactor !== null)
    parts.push(`FWHM above ${ratio(limits.fwhmFactor)} × the median of the group's better half`);
  if (limits.fwhmArcsec !== null) parts.push(`FWHM above ${ratio(limits.fwhmArcsec)}″`);
  if (limits.elongation !== null) parts.push(`elongation above ${ratio(limits.elongation)}`);
  if (limits.transparency !== null) parts.push(`transparency under ${ratio(limits.transparency)}`);
  if (limits.weight !== null)
    parts.push(`weight under ${ratio(limits.weight)} × the median of the group's better half`);
  if (limits.keepBest !== null) parts.push(`not among the best ${percentOf(limits.keepBest)} of its group`);
  parts.push(`fewer than ${limits.minStars} stars`);
  return `A sub was rejected for: ${parts.join('; ')}.`;
}
