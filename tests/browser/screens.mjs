// Every screen, once: axe looks at each, the pictures show each, and the keyboard walks through each.

import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

/** A job with its shorts in, and one that is finished: both as the app itself has written them. */
const JOBS = {
  half: new URL("../../demo-data/larkfell-quarry-under-way.json", import.meta.url),
  done: new URL("../../demo-data/larkfell-quarry-done.json", import.meta.url),
};
const idOf = (file) => JSON.parse(readFileSync(file, "utf8")).job;
const half = `#/job/${idOf(JOBS.half)}`;
const done = `#/job/${idOf(JOBS.done)}`;
const STEPS = ["truck", "arrive", "plates", "as_found", "early_reads", "short_currents", "final_reads", "open_potentials", "swap_meter", "close_potentials", "start_reads", "restore_currents", "as_left", "seals", "close_out"];

/** Screens that need no job. `at` is the part of the address after the page's own. */
export const screens = [
  { name: "jobs", at: "#/" },
  { name: "start", at: "#/start" },
  { name: "inbox", at: "#/inbox" },
  { name: "calculator", at: "#/calculator" },
  { name: "phone", at: "#/phone" },
];

/** Screens of a job; `openJobs` brings the jobs. */
export const jobScreens = [
  { name: "job", at: half },
  { name: "step-now", at: `${half}/steps` },
  ...STEPS.map((step) => ({ name: `step-${step}`, at: `${half}/steps/${step}` })),
  { name: "plates", at: `${done}/plates` },
  { name: "readings-as-found", at: `${done}/readings/as_found` },
  { name: "readings-as-left", at: `${done}/readings/as_left` },
  { name: "reads", at: `${done}/reads` },
  { name: "seals", at: `${done}/seals` },
  { name: "sheet", at: `${done}/sheet` },
  { name: "sheet-under-way", at: `${half}/sheet` },
  { name: "log", at: `${done}/log` },
];

/** Opens both job files, as a person does. */
export const openJobs = async (page) => {
  for (const file of Object.values(JOBS)) {
    await show(page, screens[0]);
    await page.locator("#open-file").setInputFiles(fileURLToPath(file));
    await page.waitForURL(/#\/job\//);
    await page.locator("#export").waitFor();
  }
  await show(page, screens[0]);
};

/** Moves to a screen and waits until its heading is drawn. */
export const show = async (page, screen) => {
  await page.evaluate((hash) => { location.hash = hash; }, screen.at);
  await page.waitForFunction(() => document.querySelector("h1")?.textContent.trim() && !document.body.textContent.includes("Opening the job…"));
  // The screen before may still be on the page for a frame.
  await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
};
