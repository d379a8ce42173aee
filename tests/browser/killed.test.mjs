// The browser is killed in the middle of saving, again and again: what was shown as saved is there afterwards, always.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";
import test from "node:test";
import { chromium } from "playwright-core";
import { PHONE, folderFor, kept, serve, started } from "./harness.mjs";
import { Hands, begin } from "./change.mjs";

const KILLS = 50;
const LEAST_IN_MID_SAVE = 10;

/** A Chromium of our own that can be killed with all its processes, as a phone that loses power kills it. */
const launch = async (profile) => {
  const args = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--remote-debugging-port=0", `--user-data-dir=${profile}`, "about:blank"];
  const child = spawn(process.env.DOTSIDE_CHROMIUM, args, { detached: true, stdio: ["ignore", "ignore", "pipe"] });
  const gone = once(child, "exit");
  for await (const line of createInterface({ input: child.stderr })) {
    const at = /DevTools listening on (ws:\S+)/.exec(line)?.[1];
    if (!at) continue;
    const browser = await chromium.connectOverCDP(at);
    const context = browser.contexts()[0];
    const page = await context.newPage();
    await page.setViewportSize(PHONE.viewport);
    return { browser, page, kill: async () => { process.kill(-child.pid, "SIGKILL"); await gone; } };
  }
  throw new Error("Chromium ended before it could be reached.");
};

/** A number between 0 and 1 that follows from the round alone, so that a failure can be run again. */
const chance = (round) => { const x = Math.sin(round * 12.9898) * 43758.5453; return x - Math.floor(x); };

/** Notes in the job log, as the log screen shows them. */
const notesIn = async (page, url, id) => {
  await page.goto(`${url}#/job/${id}/log`);
  await page.locator("#root-hash").waitFor({ state: "attached" });
  return new Set((await page.locator("main").innerText()).match(/note-\d+-\d+/g) ?? []);
};

/**
 * Writes notes one after the other and tells of each that the screen said "saved"; runs until it is killed. The page itself
 * keeps the count, so that nothing is shown later than it was on the screen.
 */
const writeNotes = (page, round) => page.evaluate(async (round) => {
  const settle = () => new Promise((done) => setTimeout(done, 0));
  const input = document.getElementById("note--text");
  for (let n = 0; n < 50; n += 1) {
    const note = `note-${round}-${n}`;
    input.value = note;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    await settle();
    globalThis.tell(`begun ${note}`);
    document.querySelector(".shell__foot .act").click();
    // Emptied at the moment the screen says that it is saved.
    while (input.value !== "" || !document.querySelector("main .status")?.textContent.includes("Saved")) await settle();
    globalThis.tell(`shown ${note}`);
  }
}, round);

test(`killed ${KILLS} times while it saves, it loses nothing that was shown as saved`, { timeout: 280_000 }, async (t) => {
  const server = await serve();
  t.after(server.stop);
  const profile = await folderFor(t);
  let phone = await launch(profile);
  t.after(() => phone.kill().catch(() => {}));
  await phone.page.goto(server.url);
  await started(phone.page);
  await kept(phone.page);
  const id = await begin(new Hands(phone.page), server.url);

  const shown = new Set();
  let inMidSave = 0;
  for (let round = 1; round <= KILLS; round += 1) {
    let begun;
    await phone.page.exposeFunction("tell", (line) => {
      const [what, note] = line.split(" ");
      if (what === "begun") begun = note;
      else shown.add(note);
    });
    assert.deepEqual([...shown].filter((note) => !before(phone).has(note)), [], `lost before kill ${round}`);
    writeNotes(phone.page, round).catch(() => {}); // ends with the kill
    await new Promise((done) => setTimeout(done, 100 + chance(round) * 500));
    await phone.kill();
    if (begun && !shown.has(begun)) inMidSave += 1;
    phone = await launch(profile);
    await phone.page.goto(server.url);
    await started(phone.page);
    phone.notes = await notesIn(phone.page, server.url, id);
  }
  assert.deepEqual([...shown].filter((note) => !phone.notes.has(note)), [], "shown as saved and lost");
  assert.ok(shown.size > KILLS, `${shown.size} saves were shown`);
  assert.ok(inMidSave >= LEAST_IN_MID_SAVE, `${inMidSave} of ${KILLS} kills came in mid-save`);
  t.diagnostic(`${shown.size} saves shown, none lost; ${inMidSave} of ${KILLS} kills came between the tap and the word "saved"`);
});

/** What this start of the browser found in the log; before the first kill nothing is missing. */
const before = (phone) => phone.notes ?? { has: () => true };
