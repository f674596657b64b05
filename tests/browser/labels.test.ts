import jsqr from 'jsqr';
import { expect, test } from 'vitest';
import { screensOfHall } from './screens.ts';

// A CommonJS module: its types say that its function lies one deeper than it does.
const jsQR = jsqr as unknown as typeof jsqr.default;
const show = screensOfHall();

test("labels: each gun's code, as the screen shows it, is read by another program as its page's address", async () => {
  const { page } = await show({ path: '/labels', size: { width: 1200, height: 1600 } });
  const code = page.getByRole('img', { name: /^QR code/ }).nth(1);
  await code.waitFor();
  const picture = (await code.screenshot()).toString('base64');
  // The picture's points come from a page of its own: the screens let no picture in from elsewhere.
  const blank = await page.context().newPage();
  const { width, height, data } = await blank.evaluate(async (base64) => {
    const image = new Image();
    image.src = `data:image/png;base64,${base64}`;
    await image.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [image.width, image.height];
    const drawing = canvas.getContext('2d')!;
    drawing.drawImage(image, 0, 0);
    const points = drawing.getImageData(0, 0, image.width, image.height);
    return { width: points.width, height: points.height, data: [...points.data] };
  }, picture);
  const read = jsQR(Uint8ClampedArray.from(data), width, height);
  expect(read?.data).toBe(`${new URL(page.url()).origin}/at-gun/gun-02`);
}, 60_000);
