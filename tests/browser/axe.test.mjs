// axe finds nothing wrong on any screen, at phone and desk size, light and dark.

import assert from "node:assert/strict";
import test from "node:test";
import { DESK, PHONE, axe, open } from "./harness.mjs";
import { jobScreens, openJobs, screens, show } from "./screens.mjs";

for (const [size, options] of [["phone", PHONE], ["desk", DESK]]) {
  test(`axe finds nothing at ${size} size`, async (t) => {
    const { page } = await open(t, { options });
    await openJobs(page);
    const found = [];
    for (const theme of ["light", "dark"]) {
      for (const screen of [...screens, ...jobScreens]) {
        await show(page, screen);
        await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
        found.push(...(await axe(page)).map((what) => `${screen.name}, ${theme}: ${what}`));
      }
    }
    assert.deepEqual(found, []);
  });
}

test("axe does find what is wrong", async (t) => {
  const { page } = await open(t);
  await page.evaluate(() => document.querySelector("#app").append(document.createElement("input")));
  assert.match((await axe(page)).join(), /label/);
});
