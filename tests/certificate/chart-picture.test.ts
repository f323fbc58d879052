import { createCanvas, loadImage } from '@napi-rs/canvas';
import { expect, it } from 'vitest';
import { certificateContent } from '../../src/certificate/content/certificate-content.js';
import { chartPicture } from '../../src/certificate/index.js';
import { samplePass } from './sample-content.js';

it('the charts of a test are one PNG at two pixels for each of a screen, drawn and not blank', async () => {
  const { chart } = certificateContent(samplePass());
  const holds = chart.story.spans.flatMap((span) => span.holds).length;
  const picture = await loadImage(await chartPicture(chart.story));
  const rows = Math.ceil(holds / 2);
  expect([picture.width, picture.height]).toEqual([1440, Math.round((256 + rows * 158) * (8 / 3))]);
  const pen = createCanvas(picture.width, picture.height).getContext('2d');
  pen.drawImage(picture, 0, 0);
  const inked = (top: number, bottom: number): number => {
    const { data } = pen.getImageData(0, top, picture.width, bottom - top);
    let count = 0;
    for (let at = 0; at < data.length; at += 4) if ((data[at] ?? 255) < 100) count += 1;
    return count;
  };
  // The line of the whole test, and those of the dwells below it.
  expect(inked(0, 660)).toBeGreaterThan(2000);
  expect(inked(680, picture.height)).toBeGreaterThan(holds * 500);
});
