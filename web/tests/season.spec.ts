import { AxeBuilder } from "@axe-core/playwright";
import { expect, type Page, test } from "@playwright/test";

const sizes = {
  phone: { width: 390, height: 844 },
  desktop: { width: 1440, height: 900 },
} as const;

// The pages an advisor goes through on the way from the season to a producer's hand.
const pages = {
  overview: "/",
  field: "/fields/mill-quarter",
  canola: "/fields/cottonwood-forty",
  unknown: "/fields/east-of-the-barn",
  spots: "/fields/red-gate-eighty",
  page: "/fields/mill-quarter/page",
  after: "/fields/mill-quarter/after",
  sources: "/sources",
} as const;

// What a page asks for that its policy forbids, or that fails, is an error of the page.
function listen(page: Page): string[] {
  const complaints: string[] = [];
  page.on("console", (m) => {
    if (m.type() === "error") complaints.push(m.text());
  });
  page.on("pageerror", (e) => complaints.push(e.message));
  return complaints;
}

for (const [size, viewport] of Object.entries(sizes)) {
  test.describe(`at ${size} size`, () => {
    test.use({ viewport });

    test("from the overview to the producer's page", async ({ page }) => {
      const complaints = listen(page);
      await page.goto("/");
      await expect(page.getByText("Invented for demonstration").first()).toBeVisible();
      await page.screenshot({ path: `screens/overview-${size}.png`, fullPage: true });

      await page.getByRole("link", { name: "Mill Quarter" }).first().click();
      const sentence = page.locator("p.decision");
      await expect(sentence).toContainText(/Spread .*lb\/ac of nitrogen as urea/);
      await page.screenshot({ path: `screens/field-${size}.png`, fullPage: true });

      // A number of the sentence opens to its working, and what it rests on opens in turn.
      await sentence.getByRole("button").first().click();
      const working = page.getByRole("dialog").or(page.locator("[popover]:popover-open")).first();
      await expect(working).toBeVisible();
      await expect(working).toContainText("In-season, 2005 form");
      await expect(working).toContainText("from memory");
      await page.screenshot({ path: `screens/working-${size}.png` });
      await page.keyboard.press("Escape");
      await expect(working).toBeHidden();

      await page.getByRole("link", { name: /^Page for/ }).click();
      await expect(page.getByText("What was really spread")).toBeVisible();
      const said = (await page.locator("body").innerText()).replace(/\s+/g, " ");
      expect(said).toMatch(/Spread .*lb\/ac of nitrogen as urea 46-0-0, broadcast, on Thursday 11 February/);
      await page.screenshot({ path: `screens/page-${size}.png`, fullPage: true });
      expect(complaints).toEqual([]);
    });

    test("nothing runs off the side", async ({ page }) => {
      for (const path of Object.values(pages)) {
        await page.goto(path);
        const over = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        expect(over, path).toBeLessThanOrEqual(0);
      }
    });

    for (const colorScheme of ["light", "dark"] as const) {
      test(`accessible in the ${colorScheme} theme`, async ({ page }) => {
        await page.emulateMedia({ colorScheme });
        for (const path of Object.values(pages)) {
          await page.goto(path);
          const found = await new AxeBuilder({ page })
            .withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"])
            .analyze();
          const told = found.violations.map(
            (v) => `${path}: ${v.id}: ${v.help}: ${v.nodes.map((n) => n.target.join(" ")).join("; ")}`,
          );
          expect(told).toEqual([]);
        }
      });
    }
  });
}

test("by keyboard alone", async ({ page }) => {
  await page.goto("/");
  await page.getByRole("link", { name: "Mill Quarter" }).first().focus();
  await page.keyboard.press("Enter");
  const sentence = page.locator("p.decision");
  await expect(sentence).toContainText("Spread");
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press("Tab");
    if (await sentence.getByRole("button").first().evaluate((b) => b === document.activeElement)) break;
  }
  await page.keyboard.press("Enter");
  const open = page.locator("[popover]:popover-open").first();
  await expect(open).toBeVisible();
  await page.keyboard.press("Escape");
  await expect(open).toBeHidden();
  // Focus comes back to where it was.
  await expect(sentence.getByRole("button").first()).toBeFocused();
});

test("the decision can be read without scripts", async ({ browser }) => {
  const context = await browser.newContext({ javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto("/fields/mill-quarter");
  await expect(page.locator("p.decision")).toContainText("Spread");
  await page.goto("/?action=hold");
  await expect(page.getByText("look again by").first()).toBeVisible();
  await context.close();
});

test("a plan is handed over, kept, and computed again", async ({ page }) => {
  await page.goto("/fields/gumbo-flat");
  await page.getByRole("button", { name: /Hand over this plan/ }).click();
  const confirm = page.getByRole("button", { name: /Hand (it )?over/ }).last();
  if (await confirm.isVisible()) await confirm.click();
  await expect(page.getByText(/every number (came out )?identical|identical/i).first()).toBeVisible();
});

test("in metric units the same plan reads in kg/ha", async ({ page }) => {
  await page.goto("/fields/mill-quarter");
  await page.getByRole("button", { name: "kg/ha" }).or(page.getByRole("link", { name: "kg/ha" })).first().click();
  await expect(page.locator("p.decision")).toContainText("kg/ha");
});
