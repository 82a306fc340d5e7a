// The coming three weeks: which day, why, and for which way of spreading.
import { AxeBuilder } from "@axe-core/playwright";
import { desk, expect, fits, phone, test } from "./page";

for (const [name, size] of Object.entries({ phone, desk })) {
  test(`the days at ${name}`, async ({ page }) => {
    await page.setViewportSize(size);
    await page.goto("/fields/mill-quarter");
    const days = page.locator("#days");
    await expect(days.getByRole("heading", { level: 3 })).toContainText(/^\w+ \d+ \w+ is the day/);
    const lines = days.locator(".almanac .line");
    await expect(lines).toHaveCount(21);
    await expect(lines.first().locator(".stand")).toContainText("the day");
    await expect(days.getByText("No forecast reaches farther.")).toBeVisible();
    await expect(days.locator(".line.usual").first()).toBeVisible();
    // The table itself stays inside the screen, so that no way is hidden.
    const region = days.getByRole("region", { name: "The coming days, every way" });
    const over = await region.evaluate((r) => r.scrollWidth - r.clientWidth);
    expect(over, "ways run off the side").toBeLessThanOrEqual(1); // a pixel is rounding
    await fits(page);

    // A day opens in place: what speaks against it, and every way side by side.
    await lines.nth(4).getByRole("button").first().click();
    const slip = page.locator(".slip.of-day:popover-open");
    await expect(slip).toHaveCount(1);
    await expect(slip.getByRole("table")).toContainText("UAN");
    await expect(slip).toContainText(/What speaks against it|Nothing known speaks against it/);
    await page.screenshot({ path: `screens/day-${name}.png` });
    await page.keyboard.press("Escape");
    await expect(slip).toHaveCount(0);
  });
}

test("days are told apart by shape and word in either light and in print", async ({ page }) => {
  await page.goto("/fields/mill-quarter");
  const marks = await page.locator("#days .state-key .mark").evaluateAll((all) => all.map((m) => [m.querySelector("svg")!.innerHTML, m.textContent!.trim()]));
  expect(marks.length).toBeGreaterThan(2);
  expect(new Set(marks.map(([shape]) => shape)).size).toBe(marks.length);
  expect(new Set(marks.map(([, word]) => word)).size).toBe(marks.length);
  const edge = (line: string): Promise<string> => page.locator(line).first().locator("td").first().evaluate((cell) => getComputedStyle(cell).borderBottomStyle);
  for (const media of ["screen", "print"] as const) {
    await page.emulateMedia({ media });
    expect(await edge("#days .line.usual")).not.toBe(await edge("#days .line:not(.usual)"));
  }
});

for (const light of ["light", "dark"] as const) {
  test(`an open day in ${light}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: light });
    for (const size of [desk, phone]) {
      await page.setViewportSize(size);
      await page.goto("/fields/mill-quarter");
      await page.locator("#days .day-name").nth(6).click();
      const { violations } = await new AxeBuilder({ page }).include(".slip:popover-open").analyze();
      expect(violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).slice(0, 3)}`)).toEqual([]);
    }
  });
}

test("from the days to a day and back with the keyboard alone", async ({ page }) => {
  await page.goto("/fields/mill-quarter");
  await page.locator("#days .day-name").first().focus();
  await page.keyboard.press("Enter");
  const slip = page.locator(".slip.of-day:popover-open");
  await expect(slip).toHaveCount(1);
  await page.keyboard.press("Tab");
  await expect(slip.locator(".close")).toBeFocused();
  await page.keyboard.press("Enter");
  await expect(slip).toHaveCount(0);
  await expect(page.locator("#days .day-name").first()).toBeFocused();
});

test("the good days come as a calendar feed", async ({ page, request }) => {
  await page.goto("/fields/mill-quarter");
  const link = page.locator("#days").getByRole("link", { name: "the good days of this field" });
  const answer = await request.get((await link.getAttribute("href"))!);
  expect(answer.headers()["content-type"]).toBe("text/calendar; charset=utf-8");
  expect(await answer.text()).toContain("BEGIN:VEVENT");
});

test("what the newest forecast changed stands under the decision and in the overview", async ({ page }) => {
  await page.goto("/");
  await expect(page.locator(".entry.first .changed")).toContainText("The newest forecast has spoilt the day of");
  const changed = page.locator(".noted .changed").first();
  await expect(changed).toContainText(/New forecast:|Since the last forecast:/);
  const field = await page.locator(".noted", { has: page.locator(".changed") }).first().locator(".who a").getAttribute("href");
  await page.goto(field!);
  await expect(page.locator(".entry.first .changed")).toContainText("the day");
});
