import { DwellmarkError } from '../../units/index.js';
import { placeSvg } from '../pages/place-svg.js';
import type { Sheet } from '../pages/sheet.js';

/**
 * The shop's logo (PNG, JPEG, or SVG), fitted into a box.
 * @throws DwellmarkError `input` when it is none of these or broken.
 */
export function placeLogo(
  sheet: Sheet,
  logo: Uint8Array,
  shop: string,
  x: number,
  y: number,
  width: number,
  height: number,
): void {
  const bytes = Buffer.from(logo);
  try {
    sheet.tag(
      'Figure',
      () => {
        if (bytes.subarray(0, 512).toString('latin1').trimStart().startsWith('<'))
          placeSvg(sheet.pdf, bytes.toString('utf8'), x, y, width, height, 'xMinYMid');
        else sheet.pdf.image(bytes, x, y, { fit: [width, height], align: undefined, valign: undefined } as object);
      },
      { alt: shop },
    );
  } catch (error) {
    throw new DwellmarkError('input', `the logo can't be used: ${(error as Error).message}`, {
      place: { key: 'logo' },
      advice: 'Give a PNG, JPEG or SVG file.',
      cause: error,
    });
  }
}
