import type { FitsFile, FitsHdu } from './fits-file.js';
import { unitOf } from './card.js';
import { Header } from './header.js';
import type { Card } from './types.js';

/** Cards that describe one HDU's own bytes or its own place on the sky: never taken over from the primary header. */
const own =
  /^(SIMPLE|XTENSION|BITPIX|NAXIS\d*|EXTEND|PCOUNT|GCOUNT|GROUPS|BSCALE|BZERO|BLANK|DATAMIN|DATAMAX|CHECKSUM|DATASUM|EXTNAME|EXTVER|EXTLEVEL|INHERIT|NEXTEND|(DATA|TRIM|BIAS|CCD|DET|AMP)SEC|COMMENT|HISTORY|Z[A-Z]+\d*|T[A-Z]+\d+|WCSAXES[A-Z]?|CTYPE\d+|CRVAL\d+|CRPIX\d+|CDELT\d+|CROTA\d+|CUNIT\d+|CD\d+_\d+|PC\d+_\d+|)$/;

/**
 * The header of an image with what it lacks from the primary header: multi-extension files keep exposure, date and site there.
 * A number without a unit takes the unit that the primary header gives the same keyword. `INHERIT = F` forbids it (FITS convention INHERIT).
 */
export function inheritedHeader(file: FitsFile, hdu: FitsHdu): Header {
  const primary = file.hdus[0];
  if (!primary || hdu.index === 0 || hdu.header.get('INHERIT') === false) return hdu.header;
  const added = primary.header.cards.filter(
    (card) => !own.test(card.keyword) && !hdu.header.has(card.keyword),
  );
  return new Header([...hdu.header.cards.map((card) => withUnit(card, primary.header)), ...added]);
}

function withUnit(card: Card, primary: Header): Card {
  if (typeof card.value !== 'number' || own.test(card.keyword) || unitOf(card) !== null) return card;
  const same = primary.card(card.keyword);
  const unit = same ? unitOf(same) : null;
  return unit === null ? card : { ...card, comment: `[${unit}] ${card.comment}` };
}
