// When the app cannot start, or stops by a fault, a plain page says so and offers to load again.

import assert from "node:assert/strict";
import { rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import test from "node:test";
import { PHONE, SITE, axe, browse, folderFor, open, serve, started } from "./harness.mjs";

test("a fault shows the plain page, which loads the app again", async (t) => {
  const { page } = await open(t);
  await page.evaluate(() => window.dotsideFailed("panicked at a test"));
  await page.getByRole("heading", { name: "Dotside has stopped" }).waitFor();
  assert.equal(await page.locator("pre").textContent(), "panicked at a test");
  assert.deepEqual(await axe(page), []);
  await Promise.all([page.waitForEvent("load"), page.getByRole("button", { name: "Load again" }).tap()]);
  await started(page);
});

for (const [what, spoil] of [
  ["is missing", (file) => rm(file)],
  ["is no WebAssembly", (file) => writeFile(file, "not a module")],
]) {
  test(`an app whose module ${what} says so instead of showing nothing`, async (t) => {
    const folder = await folderFor(t, SITE);
    await spoil(join(folder, "app_bg.wasm"));
    const server = await serve(folder);
    t.after(server.stop);
    const browser = await browse();
    t.after(() => browser.close());
    const page = await (await browser.newContext(PHONE)).newPage();
    await page.goto(server.url);
    await page.getByRole("heading", { name: "Dotside has stopped" }).waitFor();
    assert.notEqual(await page.locator("pre").textContent(), "");
  });
}
