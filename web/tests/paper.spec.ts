// The producer's page is one printed page, whatever it has to say.
import { expect, test } from "./page";

test("every producer's page prints on one sheet", async ({ page }) => {
  test.slow();
  await page.goto("/");
  const fields = await page.locator(".noted .who a").evaluateAll((links) => links.map((a) => a.getAttribute("href")!));
  expect(fields.length).toBeGreaterThan(20);
  for (const field of fields) {
    await page.goto(`${field}/page`);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    const pages = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? [];
    expect.soft(pages.length, field).toBe(1);
  }
});
