import type { CertificateContent } from '../content/content.js';
import { hairline, ink, quiet, type Sheet } from './sheet.js';

/** Height kept for the running head of the second page and later, points. */
export const runningHeadHeight = 20;

/** What stands on every page: number and page count, origin, the end mark on the last, a mark across a draft or void. */
export function drawFurniture(
  sheet: Sheet,
  content: Pick<
    CertificateContent,
    'pageOf' | 'shop' | 'metadata' | 'everyPage' | 'endMark' | 'title' | 'underTitle' | 'acrossEveryPage'
  >,
  page: { readonly number: number; readonly of: number },
  frame: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number },
): void {
  const { pdf } = sheet;
  const pageText = content.pageOf.replace('{page}', String(page.number)).replace('{pages}', String(page.of));
  const y = frame.bottom + 7;
  sheet.rule(frame.left, y - 3, frame.right - frame.left, 0.5, hairline);
  sheet.tag('P', () => {
    sheet.write(`${content.shop.name} · ${content.metadata.title}`, frame.left, y, {
      colour: quiet,
      size: sheet.small,
    });
    sheet.writeRight(pageText, frame.right, y, { font: 'bold', size: sheet.small + 0.6 });
  });
  const second = y + sheet.lineHeight(sheet.small) + 1;
  if (content.everyPage.length > 0)
    sheet.tag('P', () =>
      sheet.write(content.everyPage.join('  '), frame.left, second, { font: 'bold', size: sheet.small + 0.6 }),
    );
  if (page.number === page.of)
    sheet.tag('P', () => sheet.writeRight(`— ${content.endMark} —`, frame.right, second, { size: sheet.small }));
  if (page.number > 1)
    sheet.tag('P', () => {
      sheet.write(content.title, frame.left, frame.top, { font: 'bold', colour: sheet.accent });
      sheet.writeRight(content.underTitle[0] ?? '', frame.right, frame.top, { font: 'bold' });
    });
  if (page.number > 1)
    sheet.rule(frame.left, frame.top + sheet.lineHeight() + 1.5, frame.right - frame.left, 1, sheet.accent);
  if (content.acrossEveryPage !== null) across(sheet, content.acrossEveryPage, pdf.page.width, pdf.page.height);
}

function across(sheet: Sheet, text: string, width: number, height: number): void {
  const { pdf } = sheet;
  const size = 150;
  const angle = (-Math.atan2(height, width) * 180) / Math.PI;
  sheet.tag('P', () => {
    pdf.save();
    pdf.rotate(angle, { origin: [width / 2, height / 2] }).fillOpacity(0.13);
    const style = { font: 'bold', size, colour: ink } as const;
    sheet.write(text, (width - sheet.width(text, style)) / 2, height / 2 - size * 0.65, style);
    pdf.fillOpacity(1).restore();
  });
}
