// Drives the pages in the system's Chromium against the invented district.
import { defineConfig } from "@playwright/test";

const port = 8431;

export default defineConfig({
  testDir: "tests",
  outputDir: "test-results",
  workers: 2,
  fullyParallel: true,
  forbidOnly: !!process.env["CI"],
  reporter: [["list"]],
  timeout: 60_000,
  use: {
    baseURL: `http://127.0.0.1:${port}`,
    browserName: "chromium",
    launchOptions: {
      executablePath: process.env["CHROMIUM"] ?? "/usr/bin/chromium",
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
        "--enable-unsafe-swiftshader",
      ],
    },
  },
  webServer: {
    command: `../bin/culm demo --listen 127.0.0.1:${port}`,
    url: `http://127.0.0.1:${port}/healthz`,
    timeout: 30_000,
    reuseExistingServer: false,
  },
});
