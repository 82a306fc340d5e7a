// Without scripts everything can still be read, found, opened and handed over.
import { expect, fits, phone, test } from "./page";

test.use({ javaScriptEnabled: false, viewport: phone });

test("the walk without scripts", async ({ page }) => {
  await page.goto("/");
  await page.getByLabel("Field or producer").fill("mill quarter");
  await page.getByRole("button", { name: "Show" }).click();
  await expect(page.getByText("1 of 28 fields")).toBeVisible();
  await page.getByRole("link", { name: "Mill Quarter", exact: true }).click();

  // A number is a button and opens by itself.
  await page.locator("p.decision button.open").first().click();
  await expect(page.locator(".slip").filter({ has: page.getByRole("heading", { name: "Nitrogen to spread" }) })).toBeVisible();
  await page.keyboard.press("Escape");

  // A claim in words is a link to its slip.
  await page.goto("/fields/red-gate-eighty");
  await page.locator("p.decision a.open").first().click();
  const slip = page.locator(".slip:target");
  await expect(slip).toBeVisible();
  await slip.getByRole("link", { name: "Close" }).click();
  await expect(slip).toHaveCount(0);

  await page.getByRole("button", { name: "Hand over this plan" }).click();
  await page.getByRole("button", { name: "Hand it over" }).click();
  await expect(page.getByText("Handed over.")).toBeVisible();
  await fits(page);
});
