// With the keyboard alone.
import { expect, test } from "./page";

test("from the first key to the working of a number and back", async ({ page }) => {
  await page.goto("/");
  await page.keyboard.press("Tab");
  await expect(page.getByRole("link", { name: "To the content" })).toBeFocused();
  await page.keyboard.press("Enter");
  await expect(page.locator("main")).toBeFocused();

  const tabTo = async (selector: string): Promise<void> => {
    for (let i = 0; i < 80; i++) {
      await page.keyboard.press("Tab");
      if (await page.evaluate((s) => document.activeElement?.matches(s) ?? false, selector)) return;
    }
    throw new Error(`80 tabs do not lead to ${selector}`);
  };
  await tabTo(".most .who a");
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement!).outlineStyle);
  expect(outline, "focus is seen").toBe("solid");
  await page.keyboard.press("Enter");
  await expect(page.locator("p.decision")).toBeVisible();

  await tabTo("p.decision .open");
  await page.keyboard.press("Enter");
  const slip = page.locator(".slip:popover-open");
  await expect(slip).toHaveCount(1);
  await tabTo(".slip:popover-open .close");
  await page.keyboard.press("Enter");
  await expect(slip).toHaveCount(0);
  expect(await page.evaluate(() => document.activeElement?.matches("p.decision .open")), "focus comes back to the number").toBe(true);

  // A claim in words answers the space bar like a button.
  await page.goto("/fields/red-gate-eighty");
  await tabTo("p.decision a.open");
  await page.keyboard.press(" ");
  await expect(slip).toHaveCount(1);
  await page.keyboard.press("Escape");
  await expect(slip).toHaveCount(0);

  await tabTo("summary");
  await page.keyboard.press("Enter");
  await expect(page.locator("details[open]").first()).toBeVisible();

  await page.goto("/");
  await tabTo("[data-map] .field");
  await page.keyboard.press("+");
  await expect(page.locator(".map")).not.toHaveAttribute("viewBox", /^0 0 /);
  await page.keyboard.press("0");
  await expect(page.locator(".map")).toHaveAttribute("viewBox", /^0 0 /);
});
