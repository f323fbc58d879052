import { create } from 'qrcode';
import type { CertificateContent } from '../content/content.js';
import type { Block } from '../pages/flow.js';
import { fillOperator, ink, quiet, type Sheet } from '../pages/sheet.js';
import { placeLogo } from './logo.js';

const codeSize = 60;
const logoHeight = 30;

/** Shop and logo at the left, title and number in the middle, the code of number and record hash at the right. */
export function headingBlock(
  sheet: Sheet,
  content: Pick<CertificateContent, 'shop' | 'title' | 'underTitle' | 'logo' | 'code'>,
  width: number,
): Block {
  const { type } = sheet.layout;
  const titleLeft = width * 0.47;
  const leftWidth = titleLeft - 12;
  const rightWidth = width - titleLeft - codeSize - 8;
  const shop = sheet.wrap(content.shop.name, leftWidth, { font: 'bold', size: type.shop });
  const address = sheet.wrap(content.shop.address, leftWidth);
  const title = sheet.wrap(content.title, rightWidth, { font: 'bold', size: type.title });
  const under = content.underTitle.flatMap((line) => sheet.wrap(line, rightWidth));
  const logoRoom = content.logo === null ? 0 : logoHeight + 4;
  const leftHeight = logoRoom + shop.length * type.shop * 1.2 + address.length * sheet.lineHeight();
  const rightHeight = title.length * type.title * 1.2 + 2 + under.length * sheet.lineHeight();
  const height = Math.max(codeSize, leftHeight, rightHeight) + 5;
  return {
    height,
    draw: (x, y) => {
      if (content.logo !== null) placeLogo(sheet, content.logo, content.shop.name, x, y, leftWidth, logoHeight);
      let top = y + logoRoom;
      sheet.tag('P', () => {
        for (const line of shop) {
          sheet.write(line, x, top, { font: 'bold', size: type.shop, colour: sheet.accent });
          top += type.shop * 1.2;
        }
        for (const line of address) {
          sheet.write(line, x, top, { colour: quiet });
          top += sheet.lineHeight();
        }
      });
      let right = y;
      sheet.tag('H1', () => {
        for (const line of title) {
          sheet.write(line, x + titleLeft, right, { font: 'bold', size: type.title });
          right += type.title * 1.2;
        }
      });
      right += 2;
      sheet.tag('P', () => {
        for (const [index, line] of under.entries()) {
          sheet.write(line, x + titleLeft, right, index === 0 ? { font: 'bold' } : {});
          right += sheet.lineHeight();
        }
      });
      drawCode(sheet, content.code, x + width - codeSize, y);
      sheet.rule(x, y + height - 0.5, width, 1.2, sheet.accent);
    },
  };
}

/** A QR code as one path, runs of dark modules as bars; drawn without its quiet zone, which the margin gives. */
export function drawCode(sheet: Sheet, text: string, x: number, y: number, size = codeSize): void {
  const { modules } = create(text, { errorCorrectionLevel: 'M' });
  const step = size / modules.size;
  sheet.tag(
    'Figure',
    () => {
      let bars = '';
      for (let row = 0; row < modules.size; row++)
        for (let start = 0; start < modules.size; start++) {
          if (!modules.get(row, start)) continue;
          let end = start;
          while (end < modules.size && modules.get(row, end)) end++;
          const place = [x + start * step, y + row * step, (end - start) * step, step];
          bars += `${place.map((points) => points.toFixed(3)).join(' ')} re\n`;
          start = end;
        }
      sheet.pdf.addContent(`${fillOperator(ink)}\n${bars}f`);
    },
    { alt: text },
  );
}
