// Runs every tests/browser/*.test.mjs, one after the other, and ends with a `test result:` line that xtask counts.
//
//   cargo xtask e2e                   builds the app as a phone gets it and runs all of them
//   cargo xtask e2e --as-built steps  runs those whose file name holds "steps", on target/site as it is
//
// To add runs: write `<what>.test.mjs` here with `import test from "node:test"` and `node:assert/strict`, and take the app
// from harness.mjs:
//
//   test("a job can be started", async (t) => {
//     const { page } = await open(t);                  // served, at phone size, first screen drawn; closed at the end
//     await page.getByRole("button", { name: "Start a job" }).tap();
//     …
//   });
//
// Find things by role and name, as a person does. A test fails if the page logs an error that it did not expect, if it
// takes longer than its time, or if it is skipped. To add a screen for axe and for the pictures: screens.mjs.

import { readdirSync } from "node:fs";
import { run } from "node:test";

const TIME_MS = 300_000; // for one file; the longest does a whole meter change

const wanted = process.argv.slice(2);
const here = new URL("./", import.meta.url);
const files = readdirSync(here)
  .filter((name) => name.endsWith(".test.mjs") && (wanted.length === 0 || wanted.some((part) => name.includes(part))))
  .map((name) => new URL(name, here).pathname)
  .sort();

let passed = 0;
let failed = 0;
const shown = (ms) => `${(ms / 1000).toFixed(1)} s`;

/** A file counts by its tests; a file that could not even be read, or holds none, counts as one failure. */
const isFile = ({ name }) => files.includes(name);

const say = (sign, event) => console.log(`${sign} ${event.file?.split("/").pop() ?? ""}: ${event.name} (${shown(event.details.duration_ms)})`);

const heard = new Map(files.map((file) => [file, 0]));
const stream = run({ files, concurrency: 1, timeout: TIME_MS });
stream.on("test:pass", (event) => {
  if (isFile(event) || event.details.type === "suite") return;
  heard.set(event.file, (heard.get(event.file) ?? 0) + 1);
  if (event.skip !== undefined || event.todo !== undefined) {
    failed += 1;
    say("SKIPPED, which counts as failed:", event);
  } else {
    passed += 1;
    say("ok", event);
  }
});
stream.on("test:fail", (event) => {
  if (event.details.type === "suite") return;
  const { error } = event.details;
  // A failed file is told by its tests, unless none was heard.
  if (isFile(event) && heard.get(event.name) > 0 && error.failureType === "subtestsFailed") return;
  if (event.file) heard.set(event.file, (heard.get(event.file) ?? 0) + 1);
  failed += 1;
  say("FAILED", event);
  console.log(String(error?.cause?.stack ?? error?.stack ?? error).replace(/^/gm, "    "));
});
stream.on("test:stderr", ({ message }) => process.stderr.write(message));
stream.on("test:stdout", ({ message }) => process.stdout.write(message));
stream.on("end", () => {
  for (const [file, count] of heard) {
    if (count === 0) {
      failed += 1;
      console.log(`FAILED ${file}: holds no test`);
    }
  }
  if (files.length === 0) {
    failed += 1;
    console.log(`FAILED no file's name holds ${wanted.join(" or ")}`);
  }
  console.log(`test result: ${failed ? "FAILED" : "ok"}. ${passed} passed; ${failed} failed; 0 ignored`);
  process.exitCode = failed ? 1 : 0;
});
stream.resume();
