import { launchChromium } from '../browser/launch-chromium.ts';

/**
 * How long a page takes from the first byte that is asked for to the frame in which its charts are drawn, ms: each time in a browser that has seen
 * nothing of the service yet.
 *
 * @throws {Error} where there is no browser
 */
export async function firstPictures(url: string, rounds: number): Promise<number[]> {
  const browser = await launchChromium();
  try {
    const taken: number[] = [];
    for (let round = 0; round < rounds; round++) {
      const context = await browser.newContext({ viewport: { width: 1920, height: 1080 } });
      const page = await context.newPage();
      await page.addInitScript(noteFirstCanvas);
      await page.goto(url);
      await page.waitForFunction(() => 'firstPicture' in globalThis, undefined, { timeout: 60_000 });
      taken.push(await page.evaluate(() => (globalThis as unknown as { firstPicture: number }).firstPicture));
      await context.close();
    }
    return taken;
  } finally {
    await browser.close();
  }
}

/** Runs in the page: the first canvas is drawn in the turn in which it comes, and seen with the next frame. */
function noteFirstCanvas(): void {
  const seen = new MutationObserver(() => {
    if (document.querySelector('canvas') === null) return;
    seen.disconnect();
    requestAnimationFrame(() => setTimeout(() => Object.assign(globalThis, { firstPicture: performance.now() }), 0));
  });
  seen.observe(document, { childList: true, subtree: true });
}
