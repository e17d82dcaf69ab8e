import type { Sharp } from 'sharp';
import { UsageError } from '../../errors.js';

export type PictureFormat = 'png' | 'webp';

/** The format that a file name asks for; UsageError for anything but `.png` and `.webp`. */
export function pictureFormat(file: string): PictureFormat {
  const ending = /\.(png|webp)$/i.exec(file)?.[1]?.toLowerCase();
  if (ending === 'png' || ending === 'webp') return ending;
  throw new UsageError(
    `${file}: pictures are written as PNG or WebP.`,
    'Let the name end in .png or .webp.',
    file,
  );
}

/** Encode a finished picture; both carry the program's name, by which a file of ours is known again. */
export function encodePicture(image: Sharp, format: PictureFormat): Promise<Uint8Array> {
  const signed = image.withExif({ IFD0: { Software: 'starassay' } });
  return (format === 'png' ? signed.png({ compressionLevel: 9 }) : signed.webp({ quality: 88 })).toBuffer();
}
