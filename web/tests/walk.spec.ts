// An advisor's morning: the overview, a field, the working of its numbers, the producer's page, handing over.
import { desk, expect, fits, phone, test } from "./page";

for (const [name, size] of Object.entries({ phone, desk })) {
  test(`the morning's walk at a ${name}`, async ({ page }) => {
    await page.setViewportSize(size);
    await page.goto("/");
    await expect(page.getByRole("heading", { level: 1 })).toContainText("fields want nitrogen that pays");
    await expect(page.getByRole("note")).toContainText("Invented for demonstration");
    await fits(page);
    await page.screenshot({ path: `screens/overview-${name}.png`, fullPage: true });

    await page.getByRole("link", { name: "Mill Quarter", exact: true }).first().click();
    await expect(page.getByRole("heading", { level: 1, name: "Mill Quarter" })).toBeVisible();
    const decision = page.locator("p.decision");
    await expect(decision).toContainText("Spread");
    await fits(page);
    await page.screenshot({ path: `screens/field-${name}.png`, fullPage: true });

    // A number opens in place, and what it was computed from opens in turn.
    await decision.locator(".open").first().click();
    const slip = page.locator(".slip:popover-open");
    await expect(slip).toHaveCount(1);
    await expect(slip).toContainText("Source");
    await slip.locator(".inputs .open").first().click();
    await expect(slip).toHaveCount(2);
    await page.screenshot({ path: `screens/working-${name}.png` });
    await page.keyboard.press("Escape");
    await expect(slip).toHaveCount(1);
    await page.keyboard.press("Escape");
    await expect(slip).toHaveCount(0);

    await page.getByRole("link", { name: /^Page for / }).click();
    await expect(page.getByText("What was really spread")).toBeVisible();
    await fits(page);
    await page.screenshot({ path: `screens/producer-${name}.png`, fullPage: true });
    await page.getByRole("link", { name: "Back to Mill Quarter" }).click();

    await page.getByRole("button", { name: "Hand over this plan" }).click();
    await page.getByLabel("Handed over by").fill(`R. Example, ${name}`);
    await page.getByRole("button", { name: "Hand it over" }).click();
    await expect(page.getByRole("status")).toContainText("Handed over.");
    await expect(page.getByText("every number and word identical")).toBeVisible();
    await fits(page);
    await page.screenshot({ path: `screens/plan-${name}.png`, fullPage: true });
  });
}

test("an assumed value looks unlike one that was seen", async ({ page }) => {
  await page.goto("/fields/airstrip-eighty/working");
  const frame = (kind: string): Promise<string> =>
    page
      .locator(`.input.from-${kind}`)
      .first()
      .evaluate((element) => {
        const style = getComputedStyle(element);
        return [style.borderLeftStyle, style.borderTopStyle, style.borderLeftWidth, style.borderLeftColor].join(" ");
      });
  for (const media of ["screen", "print"] as const) {
    await page.emulateMedia({ media });
    const frames = [await frame("observed"), await frame("assumed"), await frame("rulebook"), await frame("computed")];
    expect(new Set(frames).size, `${frames} in ${media}`).toBe(frames.length);
  }
  const word = page.locator(".input.from-assumed .origin b").first();
  await expect(word).toHaveText("Assumed");
  await expect(page.locator(".input.from-observed .origin b").first()).toHaveText("Seen");
});

test("units and light are chosen once", async ({ page }) => {
  await page.goto("/fields/mill-quarter");
  await page.getByRole("button", { name: "kg/ha" }).click();
  await expect(page.locator("p.decision")).toContainText("kg/ha");
  await expect(page.locator("p.decision")).not.toContainText("lb/ac");
  const paper = (): Promise<string> => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  const daylight = await paper();
  await page.getByRole("button", { name: "dusk" }).click();
  await expect(page.locator("html")).toHaveAttribute("data-light", "dusk"); // the page has come back
  expect(await paper()).not.toBe(daylight);
  await page.goto("/");
  await expect(page.locator("html")).toHaveAttribute("data-light", "dusk");
});

test("the list and the map are found by typing", async ({ page }) => {
  await page.goto("/");
  await page.getByLabel("Field or producer").pressSequentially("mill qu");
  await expect(page.locator("#listed .noted")).toHaveCount(1);
  await expect(page.locator("#listed")).toContainText("Mill Quarter");
  await expect(page.locator(".map .field")).toHaveCount(1);
  await expect(page.getByLabel("Field or producer")).toBeFocused();
  expect(new URL(page.url()).searchParams.get("q")).toBe("mill qu");
  await page.getByRole("button", { name: "Enlarge the map" }).click(); // the new map moves too
  await page.getByLabel("Field or producer").fill("no such field");
  await expect(page.locator("#listed")).toContainText("No field fits");
});

test("the map and the list point at each other, and the map moves", async ({ page }) => {
  await page.setViewportSize(desk);
  await page.goto("/");
  await page.locator(".map .field").first().hover();
  await expect(page.locator(".map .linked")).toHaveCount(1);
  await expect(page.locator(".noted.linked")).toHaveCount(1);
  const map = page.locator(".map");
  const scale = (): Promise<number> => map.evaluate((m: SVGSVGElement) => m.getBoundingClientRect().width / m.viewBox.baseVal.width);
  const whole = await scale();
  await page.getByRole("button", { name: "Enlarge the map" }).click();
  expect(await scale()).toBeGreaterThan(whole * 1.5);
  await page.getByRole("button", { name: "The whole map" }).click();
  expect(await scale()).toBeCloseTo(whole, 3);
  await page.locator('.map [data-field="mill-quarter"]').click();
  await expect(page.getByRole("heading", { level: 1, name: "Mill Quarter" })).toBeVisible();
});

test("a plan that has moved on is not handed over", async ({ page }) => {
  await page.goto("/fields/north-slope");
  await page.locator('input[name="today"]').evaluate((input: HTMLInputElement) => (input.value = "2027-02-09"));
  await page.getByRole("button", { name: "Hand over this plan" }).click();
  await page.getByRole("button", { name: "Hand it over" }).click();
  await expect(page.getByRole("heading", { level: 1 })).toContainText("Nothing was handed over");
});
