// No room on the phone, or a store that was emptied: the screen says so with the mend, nothing typed is lost, nothing pretends.

import assert from "node:assert/strict";
import test from "node:test";
import { kept, open, started } from "./harness.mjs";
import { Hands, SITE_NAME, begin } from "./change.mjs";

const SAVED = "Saved on this phone and read back";

const save = (page) => page.locator(".shell__foot .act");
const note = (page) => page.locator("#note--text");

/** Room for the app itself and little more, in bytes. The browser asks for the limit seldom, so it stands from the start. */
const LITTLE_ROOM = 6_000_000;

/** The app on a phone with little room, and a way to the browser's own tools. */
const withLittleRoom = async (t) => {
  let tools;
  const opened = await open(t, { before: async (page, url) => {
    tools = await page.context().newCDPSession(page);
    await tools.send("Storage.overrideQuotaForOrigin", { origin: new URL(url).origin, quotaSize: LITTLE_ROOM });
  } });
  await kept(opened.page); // what is cached for offline use counts as well
  return { ...opened, tools, origin: new URL(opened.url).origin };
};

/** Takes all the room that is left, down to the last few hundred bytes. */
const fill = async (page) => {
  const written = await page.evaluate(async () => {
    const opening = indexedDB.open("something else on this phone", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("bytes", { autoIncrement: true });
    const database = await new Promise((done, failed) => { opening.onsuccess = () => done(opening.result); opening.onerror = failed; });
    let written = 0;
    for (let size = 1 << 18; size > 100; ) {
      const work = database.transaction("bytes", "readwrite");
      // Chance does not pack: what is written is what it takes.
      const bytes = new Uint8Array(size);
      for (let at = 0; at < size; at += 65_536) crypto.getRandomValues(bytes.subarray(at, at + 65_536));
      work.objectStore("bytes").add(bytes);
      const ended = await new Promise((done) => { work.oncomplete = () => done(true); work.onabort = () => done(false); });
      if (ended) written += size;
      else size >>= 1;
    }
    database.close();
    return written;
  });
  assert.ok(written > 10_000 && written < LITTLE_ROOM, `${written} bytes filled it`);
};

/** Opens the log of a job. */
const toTheLog = async (page, url, id) => {
  await page.goto(`${url}#/job/${id}/log`);
  await page.locator("#root-hash").waitFor({ state: "attached" });
};

/** A job with its log open, and a way to the browser's own tools. */
const atTheLog = async (t) => {
  const opened = await open(t);
  const { page, url } = opened;
  const id = await begin(new Hands(page), url);
  await toTheLog(page, url, id);
  return { ...opened, id, tools: await page.context().newCDPSession(page), origin: new URL(url).origin };
};

/** How many notes stand in the log as the store gives it to a tab that is opened now. */
const standing = async (context, url, id) => {
  const tab = await context.newPage();
  await tab.goto(`${url}#/job/${id}/log`);
  await started(tab);
  await tab.locator("#root-hash").waitFor({ state: "attached" });
  const found = (await tab.locator(".log").innerText()).match(/note \w+/g) ?? [];
  await tab.close();
  return found;
};

test("without room the screen says that nothing was saved and how to mend it; with room again the same tap saves", async (t) => {
  const { page, context, url, tools, origin } = await withLittleRoom(t);
  const id = await begin(new Hands(page), url);
  await toTheLog(page, url, id);
  await note(page).fill("note first");
  await save(page).click();
  await page.locator("main .status").getByText(SAVED).waitFor();

  await fill(page);
  await note(page).fill("note second");
  await save(page).click();
  const trouble = page.locator("main .status--trouble");
  await trouble.waitFor();
  assert.match(await trouble.innerText(), /nothing was saved: take copies off it, free some room, press again/);
  assert.equal(await page.getByText(SAVED).count(), 0, "nothing pretends");
  assert.equal(await note(page).inputValue(), "note second");
  assert.deepEqual(await standing(context, url, id), ["note first"]);
  // A second try is refused the same way.
  await save(page).click();
  await trouble.waitFor();
  assert.equal(await note(page).inputValue(), "note second");

  await tools.send("Storage.overrideQuotaForOrigin", { origin });
  await save(page).click();
  await page.locator("main .status").getByText(SAVED).waitFor();
  assert.equal(await note(page).inputValue(), "");
  assert.deepEqual(await standing(context, url, id), ["note first", "note second"]);
});

test("without room a new job is not begun, and what was typed for it stays", async (t) => {
  const { page, url, tools, origin } = await withLittleRoom(t);
  await fill(page);
  await page.goto(`${url}#/start`);
  await page.locator("#job--site").fill(SITE_NAME);
  await page.locator("#crew--technician").fill("M. Oduya");
  await save(page).click();
  const trouble = page.locator("main .status--trouble");
  await trouble.waitFor();
  assert.match(await trouble.innerText(), /nothing was saved/);
  assert.equal(new URL(page.url()).hash, "#/start");
  assert.equal(await page.locator("#job--site").inputValue(), SITE_NAME);
  // Not even a new start of the page loses it.
  await page.reload();
  await started(page);
  assert.equal(await page.locator("#job--site").inputValue(), SITE_NAME);
  await tools.send("Storage.overrideQuotaForOrigin", { origin });
  await save(page).click();
  await page.waitForURL(/#\/job\/[a-z2-7]{26}$/);
});

test("a store emptied under the open page is noticed at the next tap, and not made anew behind one's back", async (t) => {
  const { page, url, tools, origin } = await atTheLog(t);
  await tools.send("Storage.clearDataForOrigin", { origin, storageTypes: "indexeddb" });
  await note(page).fill("note after");
  await save(page).click();
  const trouble = page.locator("main .status--trouble");
  await trouble.waitFor();
  assert.match(await trouble.innerText(), /The store was emptied while this page stood by: open the copies that left this phone/);
  assert.equal(await note(page).inputValue(), "note after");
  assert.equal(await page.getByText(SAVED).count(), 0);
  // Also after the page is loaded again it says what is gone, until somebody has read it.
  await page.goto(`${url}#/`);
  await page.reload();
  await lossIsTold(page);
});

test("a store emptied between two starts is told at the next start, each time until it was read", async (t) => {
  const { page, context, url, tools, origin } = await atTheLog(t);
  await page.goto("about:blank");
  await tools.send("Storage.clearDataForOrigin", { origin, storageTypes: "indexeddb" });
  const tab = await context.newPage();
  await tab.goto(url);
  await lossIsTold(tab);
  await tab.reload();
  await lossIsTold(tab);
  await tab.getByRole("button", { name: "Understood" }).click();
  await tab.getByRole("alert").waitFor({ state: "detached" });
  await tab.reload();
  await started(tab);
  await tab.getByText("No job on this phone yet.").waitFor();
  assert.equal(await tab.getByRole("alert").count(), 0, "what was read is not told again");
});

/** The first screen tells that a job is gone and what to do, and shows none. */
const lossIsTold = async (page) => {
  await started(page);
  const alert = page.getByRole("alert");
  await alert.waitFor();
  assert.match(await alert.innerText(), /1 job was on this phone and is gone/);
  assert.match(await alert.innerText(), /Open the copies that left this phone/);
  assert.equal(await page.getByText(SITE_NAME).count(), 0);
};
