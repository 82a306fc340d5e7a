// No page breaks a rule of WCAG 2.2 A or AA that a machine can check, in either light, at either size.
import { AxeBuilder } from "@axe-core/playwright";
import { desk, expect, phone, test } from "./page";

const pages = {
  overview: "/",
  spread: "/fields/red-gate-eighty",
  canola: "/fields/cottonwood-forty",
  hold: "/fields/gravel-pit-eighty",
  leave: "/fields/granddads-eighty",
  ask: "/fields/east-of-the-barn",
  working: "/fields/mill-quarter/working",
  producer: "/fields/mill-quarter/page",
  after: "/fields/mill-quarter/after",
  sources: "/sources",
  rulebooks: "/rulebooks",
  rulebook: "/rulebooks/nebraska-ec143",
  lime: "/rulebooks/kansas-2003",
  compare: "/rulebooks/compare?a=kansas-2003&b=minnesota&field=mill-quarter",
  beside: "/rulebooks/compare?a=kansas-2003/lime&b=oregon-em9585&field=red-gate-eighty",
  "no-rule": "/rulebooks/compare?a=nothing&b=minnesota&field=mill-quarter",
  missing: "/fields/nowhere",
};
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

for (const light of ["light", "dark"] as const) {
  for (const [name, path] of Object.entries(pages)) {
    test(`${name} in ${light}`, async ({ page }) => {
      await page.emulateMedia({ colorScheme: light });
      for (const size of [desk, phone]) {
        await page.setViewportSize(size);
        await page.goto(path);
        for (const table of await page.locator("details").all()) await table.evaluate((d: HTMLDetailsElement) => (d.open = true));
        const { violations } = await new AxeBuilder({ page }).withTags(tags).analyze();
        expect(violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).slice(0, 3)}`)).toEqual([]);
      }
      await page.setViewportSize(desk);
      await page.screenshot({ path: `screens/${name}-${light}.png`, fullPage: true });
    });
  }
  test(`an open slip in ${light}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: light });
    await page.goto("/fields/mill-quarter");
    await page.locator("p.decision .open").first().click();
    await page.locator(".slip:popover-open .inputs .open").first().click();
    const { violations } = await new AxeBuilder({ page }).withTags(tags).include(".slip:popover-open").analyze();
    expect(violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).slice(0, 3)}`)).toEqual([]);
  });
}

test("what is pressed with a glove is 44 pixels high", async ({ page }) => {
  await page.setViewportSize(phone);
  await page.goto("/fields/mill-quarter");
  for (const button of await page.locator(".deed, .choices button, summary").all()) {
    const box = await button.boundingBox();
    expect.soft(box?.height ?? 44, await button.innerText()).toBeGreaterThanOrEqual(44);
  }
});
