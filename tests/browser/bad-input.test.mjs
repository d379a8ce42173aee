// Every text field on every screen, given what it should not get: one sentence beside it, nothing typed is lost, nothing written.

import assert from "node:assert/strict";
import test from "node:test";
import { open } from "./harness.mjs";
import { jobScreens, openJobs, screens, show } from "./screens.mjs";

/** Pastes that no field can hold: the first field of each name gets the larger, its like on other screens the smaller. */
const ENORMOUS = { first: 1_000_000, again: 5_000 };

/** What a field of each sort is given, and what the sentence must name of it; an enormous paste is named by its size. */
const CASES = {
  number: ["twelve", "999999999999", "5 bananas", "1,2,3", "12.5.7", "1e3", "NaN", "4.", "--5", "1 2"],
  count: ["twelve", "999999999999", "2.5", "-1", "1e3"],
  ratio: ["two hundred", "200", "200:", "200:5:1", "200:0", "200 A:120 V", "1e3:5"],
  time: ["25:99", "soon", "2026-02-31 10:00", "9999-99-99"],
  text: ["bell\u0007inside"],
};
/** Numbers that could be read in two ways: asked back, or shown as they were taken. Never taken in silence. */
const TWO_READINGS = ["1,234", "1.234", "12 345"];

/** Fewest fields of each sort that the walk must have come by, so that finding none is no success. */
const LEAST = { number: 60, count: 20, ratio: 20, time: 15, text: 80 };
/** Sorts by the last part of the field's name, where neither keyboard nor a button tells. */
const RATIOS = ["ratio", "inside_ct", "inside_vt"];
const TIMES = ["done-at"];

/** Buttons that open more fields, in the words on them; each is pressed as often as it is found. */
const OPENERS = ["Correct", "Something else happened", "Cannot do this", "It stands otherwise", "Go on nevertheless, by name"];

/** Runs in the page: gives every field of this screen every case; answers what it found wrong and how many fields of each sort. */
const torment = async ({ cases, twoReadings, enormous, ratios, times }) => {
  globalThis.met ??= new Set();
  const channel = new MessageChannel();
  const settle = () => new Promise((done) => { channel.port1.onmessage = done; channel.port2.postMessage(0); });
  const wrong = [];
  const counts = {};
  const fields = () => [...document.querySelectorAll("input:not([type=radio], [type=checkbox], [type=file]), textarea")];
  const sortOf = (field) => {
    const name = field.id.split("-").pop();
    if (document.getElementById(`${field.id}-now`) || times.includes(field.id)) return "time";
    if (ratios.includes(name)) return "ratio";
    if (field.inputMode === "numeric") return "count";
    if (field.inputMode === "decimal" || field.dataset.sort === "number") return "number";
    return "text";
  };
  /** As a hand does it: the text comes, then the hand leaves. */
  const enter = async (field, text) => {
    field.focus();
    field.value = text;
    field.dispatchEvent(new InputEvent("input", { bubbles: true }));
    field.dispatchEvent(new Event("change", { bubbles: true }));
    field.dispatchEvent(new FocusEvent("blur"));
    await settle();
    await settle();
  };
  const beside = (field) => (field.getAttribute("aria-describedby") ?? "").split(" ").map((id) => document.getElementById(id)?.textContent ?? "").join(" ").trim();
  const shorten = (text) => (text.length > 40 ? `${text.slice(0, 20)}… (${text.length})` : text);
  /** Whether the sentence names what was found: its text, its figures, or, of what is too long, its length. */
  const names = (said, text) => {
    if (text.length > 1000) return /\d/.test(said);
    return text.includes("\u0007") || text.split(/[^\p{L}\p{N}]+/u).some((part) => part.length > 0 && said.includes(part));
  };

  const done = new Set();
  for (;;) {
    const field = fields().find((one) => !done.has(one.id));
    if (!field) break;
    done.add(field.id);
    const { id } = field;
    if (!id) { wrong.push(`a field without a name: ${field.outerHTML.slice(0, 120)}`); break; }
    const sort = sortOf(field);
    counts[sort] = (counts[sort] ?? 0) + 1;
    const before = field.value;
    const now = () => document.getElementById(id);
    const like = id.replace(/-.*-/, "-");
    const paste = (sort === "text" ? "x" : "7").repeat(globalThis.met.has(like) ? enormous.again : enormous.first);
    globalThis.met.add(like);
    for (const text of [...cases[sort], paste]) {
      await enter(now(), text);
      const said = beside(now());
      const complain = (what) => wrong.push(`${id} (${sort}), ${JSON.stringify(shorten(text))}: ${what}; it says: ${shorten(said)}`);
      if (now().value !== text) complain(`what was typed became ${shorten(now().value)}`);
      if (now().getAttribute("aria-invalid") !== "true") complain("not marked as wrong");
      if (!/.{8,}: \S.{4,}\.$/su.test(said)) complain("no sentence with a mend beside it");
      if (/\{|undefined|typed\.|complaint-/.test(said)) complain("a sentence with a gap");
      if (said && !names(said, text)) complain("does not name what was found");
      if (said.length > 300) complain("a sentence longer than anybody reads");
    }
    if (sort === "number") {
      for (const text of twoReadings) {
        await enter(now(), text);
        if (beside(now()) === "") wrong.push(`${id}: ${text} was taken in silence`);
      }
    }
    await enter(now(), before);
    if (now().value !== before) wrong.push(`${id}: cannot be put back to ${shorten(before)}`);
  }
  return { wrong, counts };
};

/** Opens every form of the screen that is not open by itself, and everything that is folded. */
const unfold = (page) => page.evaluate(async (openers) => {
  const settle = () => new Promise((done) => setTimeout(done, 0));
  for (const opener of openers) {
    for (let turn = 0; turn < 60; turn += 1) {
      const button = [...document.querySelectorAll("main button")].find(({ textContent }) => textContent === opener || (opener === "Correct" && /^Correct \S/.test(textContent)));
      if (!button) break;
      button.click();
      await settle();
      await settle();
      if (opener !== "Correct") break;
    }
  }
  for (const folded of document.querySelectorAll("main details")) folded.open = true;
}, OPENERS);

/** How many entries both jobs have, as the store gives them. */
const entries = (page) => page.evaluate(async () => {
  const opening = indexedDB.open("dotside");
  const database = await new Promise((done, failed) => { opening.onsuccess = () => done(opening.result); opening.onerror = failed; });
  const count = database.transaction("entries").objectStore("entries").count();
  const found = await new Promise((done, failed) => { count.onsuccess = () => done(count.result); count.onerror = failed; });
  database.close();
  return found;
});

test("every field says beside itself what it was given and what it wants, and keeps what was typed", { timeout: 240_000 }, async (t) => {
  const { page } = await open(t);
  await openJobs(page);
  const before = await entries(page);
  const counts = {};
  const wrong = [];
  for (const screen of [...screens, ...jobScreens]) {
    await show(page, screen);
    await unfold(page);
    const found = await page.evaluate(torment, { cases: CASES, twoReadings: TWO_READINGS, enormous: ENORMOUS, ratios: RATIOS, times: TIMES });
    for (const [sort, count] of Object.entries(found.counts)) counts[sort] = (counts[sort] ?? 0) + count;
    wrong.push(...found.wrong.map((what) => `${screen.name}: ${what}`));
    assert.equal(await page.locator("body > main > pre").count(), 0, `the app has stopped on ${screen.name}`);
  }
  t.diagnostic(`fields: ${Object.entries(counts).map(([sort, count]) => `${count} ${sort}`).join(", ")}`);
  assert.deepEqual(wrong.slice(0, 20), [], `${wrong.length} in all`);
  for (const [sort, least] of Object.entries(LEAST)) assert.ok(counts[sort] >= least, `${counts[sort]} fields of sort ${sort}, at least ${least} are known`);
  assert.equal(await entries(page), before, "nothing was written down");
});

/** Fewest screens whose large button was pressed over a field that is blank or wrong. */
const LEAST_PRESSED = 12;

/** Runs in the page: presses the large button with a blank form, then with nonsense in its first field; answers what came of it. */
const press = async () => {
  const channel = new MessageChannel();
  const settle = () => new Promise((done) => { channel.port1.onmessage = done; channel.port2.postMessage(0); });
  const act = () => document.querySelector(".shell__foot button.act:not(#act)");
  const led = () => {
    const at = document.activeElement;
    if (!at?.closest("main") || !at.matches("input, fieldset, select")) return undefined;
    const said = at.matches("fieldset") ? [...at.querySelectorAll(".field__complaint")] : (at.getAttribute("aria-describedby") ?? "").split(" ").map((id) => document.getElementById(id));
    return { id: at.id, said: said.map((one) => one?.textContent ?? "").join(" ").trim() };
  };
  const wrong = [];
  if (!act()) return { wrong, presses: [] };
  const presses = [];
  const pressed = async (what) => {
    document.activeElement?.blur();
    act().click();
    for (let turn = 0; turn < 4; turn += 1) await settle();
    if (act()?.textContent === "Saving…") wrong.push(`${what}: was written`);
    presses.push({ what, ...led() });
  };
  // Where all that is needed stands there beforehand, the button may write it down.
  if (act().textContent !== "Save") await pressed("blank");
  const field = [...document.querySelectorAll("main input:not([type=radio], [type=file])")].find(({ id, value }) => id && value === "");
  if (field) {
    const { id } = field;
    const enter = (text) => { const now = document.getElementById(id); now.value = text; now.dispatchEvent(new InputEvent("input", { bubbles: true })); };
    const nonsense = "\u0007 nonsense";
    enter(nonsense);
    await pressed("nonsense");
    if (document.getElementById(id)?.value !== nonsense) wrong.push(`${id}: the text is gone`);
    const last = presses.at(-1);
    if (!last.said) wrong.push(`${id}: the button led to ${last.id ?? "nothing"}, and nothing is said there`);
    enter("");
  }
  return { wrong, presses };
};

test("the large button writes nothing while a field is blank or wrong, and leads to the field that says so", async (t) => {
  const { page } = await open(t);
  await openJobs(page);
  const before = await entries(page);
  const wrong = [];
  let screensPressed = 0;
  let blanksTold = 0;
  for (const screen of [...screens, ...jobScreens]) {
    await show(page, screen);
    await unfold(page);
    const found = await page.evaluate(press);
    wrong.push(...found.wrong.map((what) => `${screen.name}: ${what}`));
    if (found.presses.some(({ what }) => what === "nonsense")) screensPressed += 1;
    if (found.presses.some(({ what, said }) => what === "blank" && said)) blanksTold += 1;
  }
  assert.deepEqual(wrong, []);
  assert.ok(screensPressed >= LEAST_PRESSED, `${screensPressed} screens had a button to press`);
  assert.ok(blanksTold >= 6, `${blanksTold} screens told of a blank that is needed`);
  assert.equal(await entries(page), before, "nothing was written down");
});

test("a step is left undone only with a reason that can be kept", async (t) => {
  const { page } = await open(t);
  await openJobs(page);
  const before = await entries(page);
  await show(page, jobScreens.find(({ name }) => name === "step-now"));
  await page.getByRole("button", { name: "Cannot do this" }).click();
  const why = page.locator("#leave-why");
  const leave = page.getByRole("button", { name: "Leave with this reason" });
  for (const [text, said] of [["", /^Nothing is entered here yet, and it is needed: enter it\.$/], ["x".repeat(500), /500 characters.* at most 400 are kept: shorten it\.$/]]) {
    await why.fill(text);
    await leave.click();
    await page.locator("#leave-why-why").filter({ hasText: said }).waitFor();
    assert.equal(await why.inputValue(), text);
    assert.equal(await why.getAttribute("aria-invalid"), "true");
  }
  assert.equal(await entries(page), before, "nothing was written down");
});
