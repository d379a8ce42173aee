// A new version waits for the tap, and no page ever runs a mix of two.

import assert from "node:assert/strict";
import { cp } from "node:fs/promises";
import { join } from "node:path";
import test from "node:test";
import { MARK, SITE, filesOf, folderFor, kept, open, siteNext, started, versions } from "./harness.mjs";

const isText = (name) => /\.(js|css|html|svg)$/.test(name) && name !== "sw.js";

/** For each text file as this page gets it: does it carry the next version's mark? */
const marked = async (page) => {
  const names = (await filesOf(SITE)).filter(isText);
  assert.ok(names.length > 5, names.join(" "));
  const found = await page.evaluate(async ([files, mark]) => Promise.all(files.map(async (file) => {
    const response = await fetch(file);
    return response.ok && (await response.text()).includes(mark);
  })), [names, MARK]);
  return new Set(found);
};

const OLD = new Set([false]);
const NEW = new Set([true]);

const look = (page) => page.evaluate(async () => { await (await navigator.serviceWorker.getRegistration()).update(); });

/** The page has been told that a version waits for the tap. */
const offered = (page) => page.evaluate(() => new Promise((resolve) => {
  addEventListener("dotside-update", (event) => resolve(event.detail.ready));
  dispatchEvent(new Event("dotside-ask-update"));
}));

const tap = async (page) => {
  const again = page.waitForEvent("load");
  await page.evaluate(() => dispatchEvent(new Event("dotside-use-update")));
  await again;
  await started(page);
};

test("a new version waits for the tap, however often the app is closed", async (t) => {
  const live = await folderFor(t, SITE);
  const { page, context, url } = await open(t, { folder: live });
  const first = await kept(page);
  await page.evaluate(() => localStorage.setItem("kept over the update", "yes"));
  await cp(siteNext(), live, { recursive: true });
  await look(page);
  assert.ok(await offered(page));
  const { current, ready } = await versions(page);
  assert.equal(current, first);
  assert.notEqual(ready, first);
  assert.deepEqual(await marked(page), OLD, "found, but not used");

  await page.reload();
  await started(page);
  assert.deepEqual(await marked(page), OLD, "a reload is no tap");
  await page.close();
  const second = await context.newPage();
  await second.goto(url);
  await started(second);
  assert.deepEqual(await marked(second), OLD, "closing the last tab is no tap");
  assert.ok(await offered(second), "it is offered again");

  const beside = await context.newPage();
  await beside.goto(url);
  await started(beside);
  await tap(second);
  assert.deepEqual(await marked(second), NEW);
  assert.equal((await versions(second)).current, ready);
  assert.equal(await second.evaluate(() => localStorage.getItem("kept over the update")), "yes");
  assert.ok(await beside.evaluate(() => document.querySelector("h1").isConnected), "another tab runs on");
});

test("a version that is only half on the server is refused whole", async (t) => {
  const live = await folderFor(t, SITE);
  const { page } = await open(t, { folder: live });
  const first = await kept(page);
  for (const name of ["sw.js", "boot.js", "index.html"]) await cp(join(siteNext(), name), join(live, name));
  const came = await page.evaluate(async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    const ended = new Promise((resolve) => registration.addEventListener("updatefound", () => {
      const worker = registration.installing;
      worker.addEventListener("statechange", () => resolve(worker.state), { once: true });
    }));
    await registration.update();
    return ended;
  });
  assert.equal(came, "redundant", "the half version was tried, and given up");
  assert.deepEqual(await versions(page), { current: first, ready: first });
  await page.reload();
  await started(page);
  assert.deepEqual(await marked(page), OLD);
});
