// The close-out sheet of a finished job prints on one page, A4 and Letter, with all that billing wants and no workings.

import assert from "node:assert/strict";
import test from "node:test";
import { DESK, PHONE, open } from "./harness.mjs";
import { pagesOf } from "./pdf.mjs";
import { jobScreens, openJobs, show } from "./screens.mjs";

/** Paper in inches. */
const PAPERS = { A4: [8.27, 11.69], Letter: [8.5, 11] };

/** What billing asks for, in its order, as the rows of the sheet call it. */
const BILLING = ["Outgoing meter", "Incoming meter", "Final read", "Outgoing reads are", "Start read", "Multiplier, outgoing meter", "Multiplier, incoming meter", "Effective from", "Bypassed energy", "Technician"];

const bare = (text) => text.replace(/\s/gu, "");
const count = (text, part) => text.split(part).length - 1;

/** The rows of the sheet as the screen shows them, without the workings that can be opened there. */
const rowsOf = (page) => page.locator(".sheet__table tr").evaluateAll((rows) => rows.map((row) => {
  const [name, value] = [row.querySelector("th"), row.querySelector("td").cloneNode(true)];
  for (const working of value.querySelectorAll(".working, details")) working.remove();
  return [name.textContent, value.textContent];
}));

const print = async (page, [paperWidth, paperHeight]) => {
  const session = await page.context().newCDPSession(page);
  const { data } = await session.send("Page.printToPDF", { paperWidth, paperHeight });
  return pagesOf(Buffer.from(data, "base64"));
};

for (const [size, options] of [["phone", PHONE], ["desk", DESK]]) {
  test(`from a ${size} the sheet of a finished job is one page that holds what billing wants`, async (t) => {
    const { page } = await open(t, { options });
    await openJobs(page);
    await show(page, jobScreens.find(({ name }) => name === "sheet"));
    const rows = await rowsOf(page);
    // Each of them is there, and they come in this order.
    const places = BILLING.map((name) => rows.findIndex(([found, value]) => found.startsWith(name) && value.trim() !== ""));
    assert.ok(places.every((place) => place >= 0), `${rows.map(([name]) => name).join("; ")} against ${BILLING.join("; ")}`);
    assert.deepEqual(places, [...places].sort((a, b) => a - b), "billing's order");
    const workings = await page.locator(".sheet .working").count();
    assert.ok(workings > 0, "the sheet on the screen has workings that could be printed by mistake");
    const closed = await page.locator("main").innerText();

    for (const [paper, inches] of Object.entries(PAPERS)) {
      const pages = await print(page, inches);
      assert.equal(pages.length, 1, `${paper}: ${pages.length} pages; the second begins with ${pages[1]?.slice(0, 80)}`);
      const [printed] = pages;
      for (const [name, value] of rows) {
        assert.ok(printed.includes(bare(name)), `${paper} lacks the row ${name}`);
        assert.ok(printed.includes(bare(value)), `${paper} lacks ${value} of ${name}`);
      }
      assert.ok(printed.includes(await page.locator("[data-hash], .sheet__sign").last().evaluate((element) => element.textContent.replace(/\s/gu, ""))), `${paper} lacks the code of the log`);
      assert.equal(count(printed, "Working"), 0, `${paper} prints workings`);
    }
    assert.equal(await page.locator("main").innerText(), closed, "printing leaves the screen as it was");
  });
}

test("what is counted as a page and read as text is so", async (t) => {
  const { page } = await open(t);
  // Twice the height of the paper: two pages, with the words on the second only.
  await page.evaluate(() => {
    const tall = document.createElement("div");
    for (let line = 0; line < 90; line += 1) tall.append(Object.assign(document.createElement("p"), { textContent: `line ${line} ‑ 5 ÷ 2 ≈ 2.5 √3` }));
    document.querySelector("main").replaceChildren(tall);
  });
  const pages = await print(page, PAPERS.A4);
  assert.ok(pages.length > 1, `${pages.length} pages`);
  assert.ok(pages[0].includes("line0") && !pages[0].includes("line89"));
  assert.ok(pages.at(-1).includes("line89"));
  assert.match(pages[0], /5÷2≈2\.5√3/);
});
