// The main job: a whole meter change on a phone with the network off, from the truck to the file, and the file opened whole on
// another machine and on the command line.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import test from "node:test";
import { PHONE, browse, folderFor, kept, open, started, watch } from "./harness.mjs";
import { Hands, SITE_NAME, begin, exported, goOn, sign } from "./change.mjs";

/** Most that a routine change may ask for, from the truck on. */
const MOST_INPUTS = 60;
const MOST_STEP_BACKS = 5;

const dotside = (...words) => execFileSync(process.env.DOTSIDE_CLI, words, { encoding: "utf8", maxBuffer: 1 << 26 });

/** What the log screen says of the job: root and fold. */
const hashes = async (page, url, id) => {
  await page.goto(`${url}#/job/${id}/log`);
  const read = async (what) => (await page.locator(`#${what}`).getAttribute("data-hash")) ?? "";
  await page.locator("#root-hash").waitFor({ state: "attached" });
  return { root: await read("root-hash"), fold: await read("fold-hash") };
};

/** Fails lines that only say that there is no network. */
const offlineOnly = (errors) => { for (let at = errors.length; at-- > 0; ) if (/ERR_INTERNET_DISCONNECTED/.test(errors[at])) errors.splice(at, 1); };

test("a whole meter change with the network off ends in a file that opens whole elsewhere", async (t) => {
  const { page, context, url, errors } = await open(t);
  await kept(page);
  await context.setOffline(true);
  const hands = new Hands(page);
  const id = await begin(hands, url);

  hands.inputs = 0;
  await goOn(hands, url, id);
  await sign(hands, url, id);
  assert.ok(hands.inputs <= MOST_INPUTS, `${hands.inputs} inputs from the truck on`);
  assert.ok(hands.stepBacks() <= MOST_STEP_BACKS, `${hands.stepBacks()} step-backs`);
  t.diagnostic(`${hands.inputs} inputs, ${hands.presses} presses of the large button, ${hands.stepBacks()} step-backs`);

  const here = await hashes(page, url, id);
  const { name, text } = await exported(hands, url, id);
  assert.match(name, /^larkfell-quarry-crusher-feed-[a-z2-7]{6}\.json$/);
  offlineOnly(errors);

  // On the desk.
  const folder = await folderFor(t);
  const file = join(folder, name);
  await writeFile(file, text);
  const fold = dotside("open", file).replace(/\n$/, "");
  assert.equal(createHash("sha256").update(fold).digest("hex"), here.fold);
  assert.equal(dotside("open", "--root", file).trim(), here.root);
  assert.equal(JSON.parse(dotside("verify", file)).whole, true);

  // On another phone: a profile that has never seen the job.
  const browser = await browse();
  t.after(() => browser.close());
  const other = await (await browser.newContext(PHONE)).newPage();
  const complaints = watch(other);
  await other.goto(url);
  await started(other);
  await other.locator("#open-file").setInputFiles(file);
  await other.waitForURL(/#\/job\//);
  assert.deepEqual(await hashes(other, url, id), here);
  await other.goto(`${url}#/`);
  await other.getByText(SITE_NAME).first().waitFor();
  assert.deepEqual(complaints, []);
});
