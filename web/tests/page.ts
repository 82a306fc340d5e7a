// What the tests share: the sizes of screen, and a page that fails its test on any message of the browser.
import { test as base, expect, type Page } from "@playwright/test";

export const phone = { width: 390, height: 844 };
export const desk = { width: 1440, height: 900 };

export const test = base.extend({
  page: async ({ page }, use) => {
    const complaints: string[] = [];
    page.on("console", (message) => {
      // A page that answers with an error status on purpose is told by its test.
      if (["error", "warning"].includes(message.type()) && !message.text().includes("status of 4")) complaints.push(message.text());
    });
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("request", (request) => {
      if (!request.url().startsWith("http://127.0.0.1:")) complaints.push(`asked for ${request.url()}`);
    });
    await use(page);
    expect(complaints, "the browser complains").toEqual([]);
  },
});

export { expect };

// Nothing runs off the side of the screen.
export async function fits(page: Page): Promise<void> {
  const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
  expect(content, "the page is wider than the screen").toBeLessThanOrEqual(screen!);
}
