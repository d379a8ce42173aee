// Fills the store with as many jobs as a season brings: copies of jobs the app itself wrote, each with its own name and chain.

import { createHash } from "node:crypto";
import { canonical } from "./canonical.mjs";

const sha256 = (text) => createHash("sha256").update(text).digest("hex");
const LETTERS = "abcdefghijklmnopqrstuvwxyz234567";

/** A job id as the app makes them: 26 letters of base 32, of which the last stands for three bits only. */
const jobId = (number) => {
  const bytes = createHash("sha256").update(`job ${number}`).digest();
  const letters = [...bytes.subarray(0, 25)].map((byte) => LETTERS[byte % 32]).join("");
  return letters + LETTERS[(bytes[25] % 8) * 4];
};

/** One stored job under another id: every entry names the new job, and every hash follows from the new text. */
const copyOf = ({ row, entries }, number) => {
  const job = jobId(number);
  const renamed = new Map([[row.job, job]]);
  const rename = (text) => [...renamed].reduce((text, [from, to]) => text.replaceAll(from, to), text);
  // Entries of one chain come in order; what one names was written before it.
  const copies = entries.map((entry) => {
    const line = canonical(JSON.parse(rename(entry.line)));
    const hash = sha256(line);
    renamed.set(entry.hash, hash);
    return { ...entry, job, hash, line };
  });
  const heads = {};
  for (const { device, hash } of copies) heads[device] = hash;
  return { row: { ...row, job, root: sha256(canonical(heads)) }, entries: copies };
};

/** Every job of the store with its rows. */
const stored = (page) => page.evaluate(async () => {
  const asked = (request) => new Promise((done, failed) => { request.onsuccess = () => done(request.result); request.onerror = () => failed(request.error); });
  const database = await asked(indexedDB.open("dotside"));
  const work = database.transaction(["jobs", "entries"]);
  const rows = await asked(work.objectStore("jobs").getAll());
  const entries = await asked(work.objectStore("entries").getAll());
  database.close();
  return rows.map((row) => ({ row, entries: entries.filter(({ job }) => job === row.job) }));
});

/**
 * Copies what is in the store until it holds `count` jobs. The page must be loaded again to see them.
 * Every tenth is a copy of the longest job, the others of the shortest.
 */
export const seed = async (page, count) => {
  const models = (await stored(page)).sort((a, b) => a.entries.length - b.entries.length);
  const copies = [];
  for (let number = models.length; number < count; number += 1) copies.push(copyOf(number % 10 ? models[0] : models.at(-1), number));
  await page.evaluate(async (copies) => {
    const asked = (request) => new Promise((done, failed) => { request.onsuccess = () => done(request.result); request.onerror = () => failed(request.error); });
    const database = await asked(indexedDB.open("dotside"));
    const work = database.transaction(["jobs", "entries"], "readwrite");
    const ended = new Promise((done, failed) => { work.oncomplete = done; work.onabort = () => failed(work.error); });
    for (const { row, entries } of copies) {
      work.objectStore("jobs").put(row);
      for (const entry of entries) work.objectStore("entries").put(entry);
    }
    await ended;
    database.close();
  }, copies);
  return copies.map(({ row }) => row.job);
};
