// Takes a picture of every screen, at phone and desk size, light and dark, into the folder named by DOTSIDE_SHOTS.

import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { DESK, PHONE, browse, serve, started } from "./harness.mjs";
import { jobScreens, openJobs, screens, show } from "./screens.mjs";

const all = [...screens, ...jobScreens];
const folder = process.env.DOTSIDE_SHOTS;
await rm(folder, { recursive: true, force: true });
await mkdir(folder, { recursive: true });
const server = await serve();
const browser = await browse();
try {
  for (const [size, options] of [["phone", PHONE], ["desk", DESK]]) {
    const context = await browser.newContext({ ...options, deviceScaleFactor: 2 });
    const page = await context.newPage();
    await page.goto(server.url);
    await started(page);
    await openJobs(page);
    for (const theme of ["light", "dark"]) {
      for (const screen of all) {
        await show(page, screen);
        await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
        await page.screenshot({ path: join(folder, `${screen.name}-${size}-${theme}.png`) });
      }
    }
    await context.close();
  }
  console.log(`   ${all.length * 4} pictures in ${folder}`);
} finally {
  await browser.close();
  await server.stop();
}
