// Photos of the ground: what is told of a patch counts at once, as the server counts it; and what was spread comes back.
import { AxeBuilder } from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { desk, expect, fits, phone, test } from "./page";

const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

// stubble draws a photo of straw and leaves on soil, in the browser itself, so that no file is needed.
async function stubble(page: Page, seed: number): Promise<{ name: string; mimeType: string; buffer: Buffer }> {
  const data = await page.evaluate((start) => {
    let state = start;
    const random = (): number => (state = (state * 48271) % 2147483647) / 2147483647;
    const canvas = new OffscreenCanvas(960, 720);
    const c = canvas.getContext("2d")!;
    for (let y = 0; y < 720; y += 3) {
      for (let x = 0; x < 960; x += 3) {
        const k = 0.8 + 0.4 * random();
        c.fillStyle = `rgb(${120 * k},${100 * k},${80 * k})`;
        c.fillRect(x, y, 3, 3);
      }
    }
    const lay = (color: string, width: number, length: number): void => {
      c.save();
      c.translate(960 * random(), 720 * random());
      c.rotate(Math.PI * 2 * random());
      c.fillStyle = color;
      c.fillRect(0, 0, length, width);
      c.restore();
    };
    for (let i = 0; i < 120; i++) lay("rgb(205,184,125)", 8, 130);
    for (let i = 0; i < 45; i++) lay("rgb(80,140,60)", 13, 150);
    return canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 }).then(async (b) => [...new Uint8Array(await b.arrayBuffer())]);
  }, seed);
  return { name: `place-${seed}.jpg`, mimeType: "image/jpeg", buffer: Buffer.from(data) };
}

async function look(page: Page, field: string, photos: number): Promise<void> {
  await page.goto(`/fields/${field}/cover`);
  const files = [];
  for (let i = 0; i < photos; i++) files.push(await stubble(page, 11 + 7 * i));
  await page.getByLabel("Photos taken straight down").setInputFiles(files);
  await page.getByRole("button", { name: "Look at them" }).click();
  await expect(page.locator("[data-photo]")).toHaveCount(photos);
  await expect(page.locator("[data-board][role=application]")).toHaveCount(photos);
}

const shown = (page: Page): Promise<string[]> => page.locator("[data-all], [data-share]").allTextContents();

for (const [name, size] of Object.entries({ phone, desk })) {
  test(`patches are told and counted as the server counts them at ${name}`, async ({ page }) => {
    await page.setViewportSize(size);
    await look(page, "stubble-quarter", 3);
    await fits(page);
    const seen = await shown(page);
    const board = page.locator("[data-board]").first();
    const box = (await board.boundingBox())!;
    for (let i = 0; i < 40; i++) await board.click({ position: { x: box.width * (0.05 + 0.9 * ((i * 0.37) % 1)), y: box.height * (0.05 + 0.9 * ((i * 0.71) % 1)) } });
    const second = page.locator("[data-board]").nth(1);
    await second.focus();
    for (let i = 0; i < 25; i++) {
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("Enter");
      if (i % 3 === 0) await page.keyboard.press(" ");
      if (i % 5 === 0) await page.keyboard.press("ArrowDown");
      if (i % 7 === 0) await page.keyboard.press("Backspace");
    }
    await expect(page.locator("[data-photo='2'] [data-said]")).toContainText(/^Patch [A-Z]+\d+: /);
    const told = await shown(page);
    expect(told).not.toEqual(seen);
    const drawn = (): Promise<(string | null)[]> => page.locator("[data-fill], [data-edge], [data-marks]").evaluateAll((all) => all.map((p) => p.getAttribute("d")));
    const paths = await drawn();
    await page.screenshot({ path: `screens/ground-${name}.png`, fullPage: true });

    // The server's own arithmetic and drawing, sent without any of the browser's.
    const told1 = await page.locator("[name=told-1]").inputValue();
    const told2 = await page.locator("[name=told-2]").inputValue();
    const sent = await page.request.post(page.url(), { form: { do: "tell", "told-1": told1, "told-2": told2 }, headers: { origin: new URL(page.url()).origin } });
    expect(sent.status()).toBe(200);
    const served = await page.evaluate((text) => {
      const d = new DOMParser().parseFromString(text, "text/html");
      return {
        shares: [...d.querySelectorAll("[data-all], [data-share]")].map((e) => e.textContent),
        paths: [...d.querySelectorAll("[data-fill], [data-edge], [data-marks]")].map((e) => e.getAttribute("d")),
      };
    }, await sent.text());
    expect(served.shares).toEqual(told);
    expect(served.paths).toEqual(paths);
  });
}

for (const light of ["light", "dark"] as const) {
  test(`photos and card in ${light}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: light });
    for (const size of [desk, phone]) {
      await page.setViewportSize(size);
      const check = async (): Promise<void> => {
        const { violations } = await new AxeBuilder({ page }).withTags(tags).analyze();
        expect(violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).slice(0, 3)}`)).toEqual([]);
        await fits(page);
      };
      await page.goto("/fields/red-gate-eighty/cover");
      await check();
      await look(page, "red-gate-eighty", 1);
      for (const d of await page.locator("details").all()) await d.evaluate((e: HTMLDetailsElement) => (e.open = true));
      await check();
      await page.goto("/fields/red-gate-eighty/card");
      await check();
      await page.screenshot({ path: `screens/card-${light}-${size.width}.png`, fullPage: true });
    }
  });
}

test("from a photo to the plan with the keyboard alone", async ({ page }) => {
  await look(page, "gumbo-flat", 1);
  await page.locator("[data-board]").focus();
  await page.keyboard.press("Enter");
  await expect(page.locator("[data-said]")).toContainText("you say");
  await page.getByLabel("Seen by").focus();
  await page.keyboard.press("ControlOrMeta+a");
  await page.keyboard.type("A. Field");
  await page.getByRole("button", { name: "Keep it" }).focus();
  await page.keyboard.press("Enter");
  await expect(page.getByText("Written down.")).toBeVisible();
  await expect(page.getByText(/Streams or fans:|Streams and fans are not weighed/)).toBeVisible();
  await page.getByRole("link", { name: "The plan as it stands now" }).click();
  await expect(page.locator("h1.name")).toBeVisible();
});

test("a file that is no photo is told so in words", async ({ page }) => {
  await page.goto("/fields/gumbo-flat/cover");
  await page.getByLabel("Photos taken straight down").setInputFiles({ name: "notes.jpg", mimeType: "image/jpeg", buffer: Buffer.from("hello") });
  await page.getByRole("button", { name: "Look at them" }).click();
  await expect(page.getByRole("alert")).toContainText("it is not a photo");
});

test.describe("without scripts", () => {
  test.use({ javaScriptEnabled: false });
  test("patches are told by their names", async ({ page, browser }) => {
    const helper = await (await browser.newContext()).newPage();
    const photo = await stubble(helper, 5);
    await helper.close();
    await page.goto("/fields/gumbo-flat/cover");
    await page.getByLabel("Photos taken straight down").setInputFiles(photo);
    await page.getByRole("button", { name: "Look at them" }).click();
    await page.getByText("Say what a patch is by its name").click();
    await page.getByLabel("Patch", { exact: true }).fill("C4");
    await page.getByLabel("is", { exact: true }).selectOption("soil");
    await page.getByRole("button", { name: "Tell" }).click();
    await expect(page.locator("[name=told-1]")).toHaveValue("C4:soil");
  });
});

test("what was really spread comes back from the card", async ({ page }) => {
  await page.setViewportSize(phone);
  await page.goto("/fields/sand-hill-quarter/card");
  await page.getByLabel("Product", { exact: true }).selectOption("urea");
  await page.getByLabel("Rate, as the monitor read").fill("40");
  await page.getByLabel("in", { exact: true }).selectOption("lb/ac");
  await page.getByLabel("By", { exact: true }).fill("R. Oake");
  await page.getByRole("button", { name: "Write it down" }).click();
  await expect(page.getByText("Written down.")).toBeVisible();
});
