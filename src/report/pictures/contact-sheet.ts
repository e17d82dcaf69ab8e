import type { NightAssessment } from '../../causes/types.js';
import { html, type SafeHtml } from '../html.js';
import { clock, size } from '../numbers.js';
import { palettes, type PaletteName } from '../palette.js';
import { at } from '../plot/svg.js';
import { viewNight, type FrameView } from '../view.js';
import { pictureLight } from './picture-light.js';
import { encodePicture, type PictureFormat } from './picture-format.js';

const MARGIN = 20;
const GAP = 12;
const LABEL = 34;
const MAX_NAME = 34;

/**
 * The contact sheet of a night: every sub's preview in order of time, with its name, time and width; rejected ones are framed
 * and crossed out in a corner. Frames without a preview (see `FrameOptions.pictures`) stand as empty squares. RangeError for a night without frames.
 */
export async function contactSheet(
  night: NightAssessment,
  options: { readonly palette: PaletteName; readonly format: PictureFormat },
): Promise<Uint8Array> {
  const { frames } = viewNight(night, { pictures: true });
  if (frames.length === 0) throw new RangeError('a contact sheet needs at least one frame');
  const { default: sharp } = await import('sharp');
  const columns = Math.min(frames.length, Math.max(2, Math.round(Math.sqrt(frames.length * 1.3))));
  const tileWidth = Math.round(Math.min(400, Math.max(150, 2200 / columns)));
  const image = frames[0]!.frame.image;
  const tileHeight = Math.round(tileWidth * Math.min(1.6, Math.max(0.4, image.heightPx / image.widthPx)));
  const rows = Math.ceil(frames.length / columns);
  const width = 2 * MARGIN + columns * (tileWidth + GAP) - GAP;
  const height = 2 * MARGIN + rows * (tileHeight + LABEL + GAP) - GAP;
  const palette = palettes[options.palette];
  const place = (i: number) => ({
    left: MARGIN + (i % columns) * (tileWidth + GAP),
    top: MARGIN + Math.floor(i / columns) * (tileHeight + LABEL + GAP),
  });

  const tiles = await Promise.all(
    frames.map(async ({ frame }, i) => {
      if (frame.pictures.preview === null) return null;
      const preview = sharp(frame.pictures.preview).resize(tileWidth, tileHeight, { fit: 'fill' });
      if (options.palette !== 'night') return { input: await preview.png().toBuffer(), ...place(i) };
      const greys = await preview.greyscale().toColourspace('b-w').raw().toBuffer();
      const raw = { width: tileWidth, height: tileHeight, channels: 3 as const };
      return { input: pictureLight(greys, 'night'), raw, ...place(i) };
    }),
  );
  const document = (content: SafeHtml) =>
    Buffer.from(
      html`<svg
        xmlns="http://www.w3.org/2000/svg"
        width="${width}"
        height="${height}"
        viewBox="0 0 ${width} ${height}"
        font-family="'Liberation Sans','DejaVu Sans',Arial,sans-serif"
        font-size="12"
      >
        ${content}
      </svg>`.text,
    );
  const base = document(
    html`<rect
        width="${width}"
        height="${height}"
        fill="${palette.paper}"
      />${frames.map((view, i) => label(view, place(i), tileWidth, tileHeight, palette))}`,
  );
  const striking = options.palette === 'night' ? palette.ink : palettes.dark.alert;
  const strikes = document(
    html`${frames.map((view, i) => {
      const { left, top } = place(i);
      return (
        !view.kept &&
        // A line across the picture would look like a satellite; a frame with a crossed-out corner does not.
        html`<g fill="none" stroke="${striking}" stroke-width="2.5"
          ><rect
            x="${at(left + 1.2)}"
            y="${at(top + 1.2)}"
            width="${at(tileWidth - 2.4)}"
            height="${at(tileHeight - 2.4)}" /><path
            d="M${at(left + tileWidth - 26)} ${at(top + 8)}l18 18m0 -18l-18 18"
        /></g>`
      );
    })}`,
  );
  const layers = [...tiles.filter((tile) => tile !== null), { input: strikes, left: 0, top: 0 }];
  return encodePicture(
    sharp(await sharp(base).composite(layers).png().toBuffer()).removeAlpha(),
    options.format,
  );
}

function label(
  { frame, kept }: FrameView,
  place: { readonly left: number; readonly top: number },
  tileWidth: number,
  tileHeight: number,
  palette: (typeof palettes)[PaletteName],
): SafeHtml {
  const room = Math.min(MAX_NAME, Math.floor(tileWidth / 6.6));
  const name = frame.file.length > room ? `…${frame.file.slice(1 - room)}` : frame.file;
  const y = place.top + tileHeight;
  return html`<rect
      x="${at(place.left)}"
      y="${at(place.top)}"
      width="${tileWidth}"
      height="${tileHeight}"
      fill="${palette.grid}"
    /><text x="${at(place.left)}" y="${at(y + 14)}" fill="${palette.ink}">${name}</text
    ><text x="${at(place.left)}" y="${at(y + 29)}" fill="${kept ? palette.soft : palette.alert}"
      >${kept ? 'keep' : 'reject'} ${clock(frame.header.dateObs)} ${size(frame.fwhm)}</text
    >`;
}
