// Books of guidance: from a rate to the rule it comes from, and from there to what makes two rules differ.
import { desk, expect, fits, phone, test } from "./page";

for (const [name, size] of Object.entries({ phone, desk })) {
  test(`from a rate to its rule, and to the difference, at ${name}`, async ({ page }) => {
    await page.setViewportSize(size);
    await page.goto("/fields/mill-quarter");
    await page.locator(".ways .rule-name").first().click();
    await expect(page).toHaveURL(/\/rulebooks\/in-season-2005#nitrogen$/);
    await expect(page.locator(".rulebook .rule:target h2")).toBeInViewport();
    await fits(page);

    await page.goto("/fields/mill-quarter");
    await page.locator("summary", { hasText: "What each way rests on" }).click();
    await page.getByRole("link", { name: /^Why it differs.*Minnesota/ }).first().click();
    await expect(page.getByRole("heading", { level: 1 })).toContainText(/(more|less) by .*Minnesota.* for Mill Quarter|cannot be set against/);
    await fits(page);
    await page.screenshot({ path: `screens/compare-${name}.png`, fullPage: true });

    await page.goto("/rulebooks");
    await fits(page);
    await page.screenshot({ path: `screens/rulebooks-${name}.png`, fullPage: true });
    await page.getByRole("link", { name: "lime", exact: true }).click();
    await expect(page.getByRole("heading", { level: 1 })).toContainText("on lime");
    await expect(page.locator(".shelf")).toContainText("Oregon");
    await expect(page.locator(".shelf")).not.toContainText("Nebraska");
  });

  test(`lime and nutrients are read without a table, at ${name}`, async ({ page }) => {
    await page.setViewportSize(size);
    await page.goto("/fields/red-gate-eighty");
    const ground = page.locator("#ground");
    const first = ground.locator(".need").first();
    await expect(first).toContainText("Short");
    await expect(first.locator(".do")).toContainText(/^Spread .* of agricultural lime before the next planting/);
    await expect(ground.getByText("The poor spots", { exact: true })).toBeVisible();
    await first.getByText("What the books say").click();
    await expect(first.locator(".books li").first()).toContainText("followed");
    await expect(first.locator(".books .status").first()).toHaveText(/confirmed in the source|derived|from memory|quoted|common practice/);
    // No line of running text is longer than a person reads with ease.
    const long = await ground.locator("p, summary").evaluateAll((all) => all.filter((p) => p.getBoundingClientRect().width > 800).map((p) => p.textContent));
    expect(long).toEqual([]);
    await fits(page);
    await first.getByRole("link", { name: /Kansas/ }).first().click();
    await expect(page).toHaveURL(/\/rulebooks\/kansas-2003#lime$/);
  });
}

test("two rules are chosen with the keyboard alone", async ({ page }) => {
  await page.goto("/rulebooks/compare");
  await page.getByLabel("One rule").focus();
  await page.keyboard.type("Price table, Nebraska");
  await page.keyboard.press("Tab");
  await page.keyboard.type("Mass balance, Minnesota");
  await page.keyboard.press("Tab");
  await page.keyboard.type("Mill Quarter");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/a=nebraska-ec143%2Fnitrogen&b=minnesota%2Fnitrogen&field=mill-quarter/);
  await expect(page.getByRole("heading", { level: 3, name: "Mass balance, Minnesota" })).toBeVisible();
});
