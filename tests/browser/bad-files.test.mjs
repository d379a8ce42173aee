// Files that are not what they should be: the screen says where the trouble is, what can be read is read, every byte is kept.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { open as openHandle, readFile, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import test from "node:test";
import { fileURLToPath } from "node:url";
import { folderFor, open, started } from "./harness.mjs";

const CRASHERS = fileURLToPath(new URL("../crashers", import.meta.url));
const WHOLE = fileURLToPath(new URL("../../demo-data/larkfell-quarry-done.json", import.meta.url));
const MANIFEST = JSON.parse(await readFile(join(CRASHERS, "manifest.json"), "utf8"));
const NAMES = Object.keys(MANIFEST);
const OVER_64_MIB = 64 * 1024 * 1024 + 1;

/** What the first screen tells of each file opened last: a title and its sentences, or one sentence of refusal. */
const told = (page) => page.locator(".drop + [role=status]").locator("> *").evaluateAll((all) => all.map((one) => ({
  title: (one.querySelector("h2") ?? one).textContent,
  sentences: [...one.querySelectorAll("li")].map((line) => line.textContent),
})));

/** Waits until something is told of each of so many files. */
const allTold = async (page, count) => {
  await page.waitForFunction((count) => {
    if (document.querySelector("body > main > pre")) throw new Error(`The app has stopped: ${document.body.innerText}`);
    return document.querySelectorAll(".drop + [role=status] > *").length === count;
  }, count, { timeout: 60_000 });
  return told(page);
};

const choose = async (page, files) => {
  await page.locator("#open-file").setInputFiles(files);
  return allTold(page, Array.isArray(files) ? files.length : 1);
};

/** Drops files on the page as the system's own file window does. */
const drop = async (page, files) => {
  const session = await page.context().newCDPSession(page);
  const data = { items: [], files, dragOperationsMask: 1 };
  for (const type of ["dragEnter", "dragOver", "drop"]) await session.send("Input.dispatchDragEvent", { type, x: 120, y: 300, data });
};

/** Everything in the inbox, taken out again. */
const takenOut = async (page, url) => {
  await page.goto(`${url}#/inbox`);
  const buttons = page.locator(".rows .key");
  await page.locator("h1", { hasText: "Files kept as they came" }).waitFor();
  const names = await page.locator(".rows .row__title").allTextContents();
  const found = new Map();
  page.on("download", (download) => found.set(download.suggestedFilename(), download));
  // Chromium drops a download that follows another within milliseconds; no hand is that fast, and pressing again helps.
  for (let turn = 0; found.size < names.length; turn += 1) {
    assert.ok(turn < 5, `not handed out: ${names.filter((name) => !found.has(name))}`);
    for (const [at, name] of names.entries()) {
      if (found.has(name)) continue;
      const handed = page.waitForEvent("download", { timeout: 1_000 }).catch(() => undefined);
      await buttons.nth(at).click();
      await handed;
    }
  }
  return Promise.all(names.map(async (name) => ({ name, bytes: await readFile(await found.get(name).path()) })));
};

/** How many entries the job at hand has, by its log. */
const entriesIn = async (page, url) => {
  const id = /job\/([a-z2-7]{26})/.exec(await page.locator("a[href*='#/job/']").first().getAttribute("href"))[1];
  await page.goto(`${url}#/job/${id}/log`);
  await page.locator("#root-hash").waitFor({ state: "attached" });
  return page.locator(".log__entry").count();
};

const hasSentence = (text) => text.length > 20 && / /.test(text) && !/\{ ?\$|problem-|undefined/.test(text);

test("every file that must be refused is refused in words, and its bytes come out of the inbox as they came", async (t) => {
  const files = (await readdir(CRASHERS)).filter((name) => !/^(manifest\.json|README\.md)$/.test(name));
  assert.deepEqual([...files].sort(), [...NAMES].sort(), "the list names every file");
  assert.ok(NAMES.length >= 80, `${NAMES.length} files`);
  const { page, url } = await open(t);
  const outcomes = await choose(page, NAMES.map((name) => join(CRASHERS, name)));
  const wrong = [];
  const must = new Set();
  for (const [at, { title, sentences }] of outcomes.entries()) {
    const name = NAMES[at];
    const { codes, entries = 0 } = MANIFEST[name];
    const expected = entries > 0 ? "Opened, but something is wrong with the file" : `${name} could not be opened. It is kept as it came.`;
    if (title !== expected) wrong.push(`${name}: ${title}`);
    if (sentences.length < codes.length) wrong.push(`${name}: ${sentences.length} sentences for ${codes.join(" ")}`);
    for (const sentence of sentences) if (!hasSentence(sentence)) wrong.push(`${name} says: ${sentence}`);
    // Where the place is known, a person is told it.
    if (MANIFEST[name].line > 1 && !sentences.some((sentence) => new RegExp(`(line|row) ${MANIFEST[name].line}\\b|/(entries|blobs)/\\d+`).test(sentence))) wrong.push(`${name} does not say where: ${sentences.join(" ")}`);
    if (entries === 0) must.add(name);
  }
  assert.deepEqual(wrong, []);

  const kept = await takenOut(page, url);
  const missing = [...must].filter((name) => !kept.some((one) => one.name === name));
  assert.deepEqual(missing, [], "nothing that could not be opened is missing from the inbox");
  assert.ok(kept.length >= must.size, `${kept.length} kept`);
  for (const { name, bytes } of kept) {
    assert.ok(bytes.equals(await readFile(join(CRASHERS, name))), `${name} comes out byte for byte`);
  }
  t.diagnostic(`${NAMES.length} files, ${kept.length} of them kept as they came`);

  // After all of them the app still starts, and what could be read is a job that can be looked at.
  await page.goto(`${url}#/`);
  await page.reload();
  await started(page);
  assert.ok((await entriesIn(page, url)) > 0);
});

for (const [name, entries] of [["cut-in-entry.json", 2], ["cut-after-entry.json", 3], ["dropped-entry.json", 3], ["fork.json", 3]]) {
  test(`of ${name} ${entries} entries can be read, and the rest is in the inbox`, async (t) => {
    const { page, url } = await open(t);
    const [{ title, sentences }] = await choose(page, join(CRASHERS, name));
    assert.equal(title, "Opened, but something is wrong with the file", sentences.join(" "));
    assert.equal(await entriesIn(page, url), entries);
    const kept = await takenOut(page, url);
    assert.deepEqual(kept.map((one) => one.name), [name]);
    assert.ok(kept[0].bytes.equals(await readFile(join(CRASHERS, name))));
  });
}

test("a job that was cut short on its way opens up to the cut, and whole once the whole file comes", async (t) => {
  const { page, url } = await open(t);
  const whole = await readFile(WHOLE);
  const lines = whole.toString("utf8").split("\n");
  const all = JSON.parse(whole).entries.length;
  // In the middle of a line, after more than half of the entries.
  const cut = Buffer.byteLength(lines.slice(0, 2 + Math.ceil(all * 0.6)).join("\n")) + 40;
  const folder = await folderFor(t);
  const file = join(folder, "larkfell-cut.json");
  await writeFile(file, whole.subarray(0, cut));
  const [{ sentences }] = await choose(page, file);
  assert.match(sentences.join(" "), /This file ends too early: what came is read/);
  const read = await entriesIn(page, url);
  assert.ok(read >= all * 0.5 && read < all * 0.7, `${read} of ${all} entries`);
  const kept = await takenOut(page, url);
  assert.ok(kept[0].bytes.equals(whole.subarray(0, cut)));

  await page.goto(`${url}#/`);
  await page.locator("#open-file").setInputFiles(WHOLE);
  await page.waitForURL(/#\/job\//);
  await page.goto(`${url}#/`);
  assert.equal(await entriesIn(page, url), all);
  // And it goes out again as it came in.
  await page.goto(page.url().replace(/\/log$/, ""));
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator("#export").click()]);
  const { root } = JSON.parse(execFileSync(process.env.DOTSIDE_CLI, ["verify", await download.path()], { encoding: "utf8" }));
  assert.equal(root, JSON.parse(execFileSync(process.env.DOTSIDE_CLI, ["verify", WHOLE], { encoding: "utf8" })).root);
});

test("a picture under the name of a job file is refused as such and kept", async (t) => {
  const { page, url } = await open(t);
  const picture = await readFile(join(CRASHERS, "picture.jpg"));
  const [{ title, sentences }] = await choose(page, { name: "larkfell.json", mimeType: "application/json", buffer: picture });
  assert.equal(title, "larkfell.json could not be opened. It is kept as it came.");
  assert.match(sentences[0], /^This is no job file: choose a file that this program wrote, its name ends in \.json\./);
  const [{ name, bytes }] = await takenOut(page, url);
  assert.equal(name, "larkfell.json");
  assert.ok(bytes.equals(picture));
});

test("a file over 64 MiB is refused by its size, and nothing of it is read", async (t) => {
  const folder = await folderFor(t);
  const file = join(folder, "recording.json");
  const handle = await openHandle(file, "w");
  await handle.truncate(OVER_64_MIB);
  await handle.close();
  const { page, url } = await open(t, { before: (page) => page.addInitScript(() => {
    // Every way by which a page can read of a file, counted.
    globalThis.reads = 0;
    const count = (owner, name) => {
      const own = owner.prototype[name];
      owner.prototype[name] = function counted(...words) { globalThis.reads += 1; return own.apply(this, words); };
    };
    for (const name of ["arrayBuffer", "text", "stream", "slice", "bytes"]) if (Blob.prototype[name]) count(Blob, name);
    for (const name of ["readAsArrayBuffer", "readAsText", "readAsDataURL", "readAsBinaryString"]) count(FileReader, name);
  }) });
  const [{ title }] = await choose(page, file);
  assert.match(title, /^recording\.json has 6[45](\.\d+)? MiB, and at most 64 are opened: choose the job file itself\.$/);
  assert.equal(await page.evaluate(() => globalThis.reads), 0, "nothing of it was read");
  // The count does count: a small file is read once.
  await choose(page, join(CRASHERS, "page.html"));
  assert.equal(await page.evaluate(() => globalThis.reads), 1);
  assert.deepEqual((await takenOut(page, url)).map(({ name }) => name), ["page.html"]);
});

test("files dropped on any screen are taken like chosen ones, and the page stays", async (t) => {
  const { page, url } = await open(t);
  for (const at of ["#/", "#/calculator", "#/phone"]) {
    await page.goto(url + at);
    await page.locator("h1").waitFor();
    await drop(page, ["not-json.txt", "cut-in-entry.json", "duplicate-key-in-entry.json"].map((name) => join(CRASHERS, name)));
    const [first, second, third] = await allTold(page, 3);
    assert.equal(first.title, "not-json.txt could not be opened. It is kept as it came.");
    for (const { title } of [second, third]) assert.equal(title, "Opened, but something is wrong with the file");
    assert.equal(page.url(), `${url}#/`, "what became of them is told on the first screen");
  }
  // One that is whole is shown at once.
  await drop(page, [WHOLE]);
  await page.waitForURL(/#\/job\/[a-z2-7]{26}$/);
  await page.getByRole("heading", { name: "Larkfell Quarry, crusher feed" }).waitFor();
});
