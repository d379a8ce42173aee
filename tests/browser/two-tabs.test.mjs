// Two tabs on one job: what one writes the other shows, nothing typed or written is lost, and the chain never forks.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import test from "node:test";
import { fileURLToPath } from "node:url";
import { folderFor, open, started, watch } from "./harness.mjs";
import { Hands, begin, exported } from "./change.mjs";

const ROUNDS = 20;

/** One job, open on the same screen in two tabs of one phone. */
const twoTabs = async (t, part) => {
  const { page, context, url } = await open(t);
  const id = await begin(new Hands(page), url);
  const other = await context.newPage();
  const complaints = watch(other);
  t.after(() => assert.deepEqual(complaints, [], "the other tab reported nothing"));
  for (const tab of [page, other]) {
    await tab.goto(`${url}#/job/${id}/${part}`);
    await started(tab);
    await tab.locator(".shell__foot .act").waitFor();
  }
  return { tabs: [page, other], context, url, id };
};

const note = (tab) => tab.locator("#note--text");
const save = (tab) => tab.locator(".shell__foot .act");
const says = (tab) => tab.locator("main .status").last();

/** The same tap in both tabs, as close together as can be: one of the two pages stands behind and takes no finger. */
const pressBoth = (tabs) => Promise.all(tabs.map((tab) => tab.evaluate(() => document.querySelector(".shell__foot .act").click())));

/** Every note the log of a tab shows, in order. */
const notes = async (tab) => (await tab.locator(".log").innerText()).match(/note [AB]\d+/g) ?? [];

/** The file of the job, read by both readers: whole, and one head for each device, so no fork. */
const verified = async (t, tab, url, id) => {
  const { name, text } = await exported(new Hands(tab), url, id);
  const file = join(await folderFor(t), name);
  await writeFile(file, text);
  assert.equal(JSON.parse(execFileSync(process.env.DOTSIDE_CLI, ["verify", file], { encoding: "utf8" })).whole, true);
  const second = JSON.parse(execFileSync(process.execPath, [fileURLToPath(new URL("verify-job.mjs", import.meta.url)), file], { encoding: "utf8" }));
  assert.deepEqual(second.faults, []);
  assert.deepEqual(Object.values(second.heads).map((head) => typeof head), ["string"], "one device, one head");
  return text;
};

test("what is written in one tab is shown in the other without being asked", async (t) => {
  const { tabs: [a, b], url, id } = await twoTabs(t, "log");
  for (const [from, to, text] of [[a, b, "note A1"], [b, a, "note B2"], [a, b, "note A3"]]) {
    await note(to).fill("half typed");
    await note(from).fill(text);
    await save(from).click();
    await to.locator(".log").getByText(text).waitFor();
    assert.equal(await note(to).inputValue(), "half typed", "what is typed elsewhere stays");
    assert.equal(await note(from).inputValue(), "", "what was saved is taken from the input");
  }
  assert.deepEqual(await notes(a), ["note A1", "note B2", "note A3"]);
  assert.deepEqual(await notes(b), await notes(a));
  await verified(t, a, url, id);
});

test(`both tabs writing at the same moment, ${ROUNDS} times, lose nothing and fork nothing`, async (t) => {
  const { tabs, url, id } = await twoTabs(t, "log");
  const wanted = [];
  for (let round = 1; round <= ROUNDS; round += 1) {
    const texts = [`note A${round}`, `note B${round}`];
    wanted.push(...texts);
    for (const [at, tab] of tabs.entries()) await note(tab).fill(texts[at]);
    await pressBoth(tabs);
    // Saved, or refused with a sentence and the text still there: then the same tap again must do.
    for (const [at, tab] of tabs.entries()) {
      for (let tries = 0; ; tries += 1) {
        await tab.waitForFunction(() => document.querySelector("main .status") && document.querySelector(".shell__foot .act").textContent !== "Saving…");
        if ((await note(tab).inputValue()) === "") break;
        assert.equal(await note(tab).inputValue(), texts[at], "a refusal leaves what was typed");
        assert.match(await says(tab).innerText(), /nothing was saved: /);
        assert.ok(tries < 3, `refused ${tries} times`);
        await save(tab).click();
      }
    }
  }
  // Each tab heard of the other's last.
  for (const tab of tabs) await tab.waitForFunction((most) => document.querySelectorAll(".log__entry").length >= most, wanted.length);
  const shown = await notes(tabs[0]);
  assert.deepEqual([...shown].sort(), [...wanted].sort());
  for (const tab of tabs) await tab.waitForFunction((text) => document.querySelector(".log").innerText.includes(text), shown.at(-1));
  assert.deepEqual(await notes(tabs[1]), shown);
  const text = await verified(t, tabs[1], url, id);
  for (const one of wanted) assert.equal(text.split(`"${one}"`).length, 2, `${one} is in the file once`);
});

/** The plate of the outgoing meter, filled in as far as it must be. */
const plate = async (tab, number) => {
  await tab.locator("#meter_plate-outgoing-number").fill(number);
  await tab.locator('label[for="meter_plate-outgoing-ratios_inside-none"]').click();
};

test("of two tabs that fill in the same thing the later one keeps what it typed, and corrects only with a reason", async (t) => {
  const { tabs: [a, b], url, id } = await twoTabs(t, "plates");
  await plate(b, "L-2222");
  await plate(a, "L-1111");
  await save(a).click();
  await a.getByText("Saved on this phone and read back").waitFor();
  // The other tab shows that a value stands there now, and what is typed in it is neither written nor lost.
  await b.getByText("L-1111").first().waitFor();
  assert.equal(await b.locator("#meter_plate-outgoing-number").inputValue(), "L-2222");
  await save(b).click();
  assert.match(await save(b).textContent(), /say why/i, "not without a reason");
  await b.locator("#meter_plate-outgoing-reason").fill("read again under better light");
  await save(b).click();
  await a.getByText("L-2222").first().waitFor();
  const text = await verified(t, a, url, id);
  const entries = JSON.parse(text).entries.filter(({ what }) => what.kind === "meter_plate");
  assert.deepEqual(entries.map(({ what, reason }) => [what.fields.number, reason ?? null]), [["L-1111", null], ["L-2222", "read again under better light"]]);
});

test("of two tabs that write the same thing at the same moment one is refused and keeps what it typed", async (t) => {
  const { tabs, context, url, id } = await twoTabs(t, "plates");
  const numbers = ["L-1111", "L-2222"];
  for (const [at, tab] of tabs.entries()) await plate(tab, numbers[at]);
  await pressBoth(tabs);
  // One says that it is saved, the other why it is not.
  for (const tab of tabs) await tab.waitForFunction(() => document.querySelector('main .status, .field__complaint[role="alert"]') && document.querySelector(".shell__foot .act").textContent !== "Saving…");
  const written = JSON.parse(await verified(t, await context.newPage(), url, id)).entries.filter(({ what }) => what.kind === "meter_plate");
  assert.equal(written.length, 1, "one of them was written");
  const late = numbers[0] === written[0].what.fields.number ? 1 : 0;
  assert.equal(await tabs[late].locator("#meter_plate-outgoing-number").inputValue(), numbers[late]);
});
