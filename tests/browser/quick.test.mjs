// How quickly the app starts and answers on a slow phone: measured, printed, and held to a limit.

import assert from "node:assert/strict";
import { once } from "node:events";
import { createServer } from "node:http";
import test from "node:test";
import { kept, open, started, watch } from "./harness.mjs";
import { Hands, begin } from "./change.mjs";
import { seed } from "./many-jobs.mjs";
import { openJobs } from "./screens.mjs";

/** How much slower than this machine the phone is taken to be. */
const SLOWER = 4;
/** From the start of loading until Jobs has answered a tap. */
const START_GOAL_MS = 500;
/** From an input to the picture that shows it, for 95 of 100 inputs. */
const INPUT_GOAL_MS = 50;
const JOBS = 1000;

const slowDown = async (page, rate) => {
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate });
};

const ordered = (values) => [...values].sort((a, b) => a - b);
const median = (values) => ordered(values)[Math.floor(values.length / 2)];
const ninetyFifth = (values) => ordered(values)[Math.ceil(values.length * 0.95) - 1];

/** The same with an empty page that answers a tap with an input: what the machine takes without any program of ours. */
const emptyPage = async (t) => {
  const body = `<!doctype html><meta name="viewport" content="width=device-width"><main><a href="#/start" onclick="document.querySelector('main').append(Object.assign(document.createElement('input'), { id: 'job--site' }))">Start</a></main>`;
  const server = createServer((_, response) => response.setHeader("content-type", "text/html").end(body)).listen(0, "127.0.0.1");
  t.after(() => server.close());
  await once(server, "listening");
  return `http://127.0.0.1:${server.address().port}/`;
};

/** Opens the page so many times, slowed down; answers the medians of when it was shown and when it had answered. */
const timed = async (context, url) => {
  const times = [];
  for (let start = 0; start < STARTS; start += 1) {
    const tab = await context.newPage();
    const complaints = watch(tab);
    await tab.addInitScript(tapAtOnce);
    await slowDown(tab, SLOWER);
    await tab.goto(url);
    times.push(await tab.evaluate(() => globalThis.answered));
    assert.deepEqual(complaints.filter((line) => !/favicon/.test(line)), []);
    await tab.close();
  }
  return { shown: Math.round(median(times.map(({ shown }) => shown))), answered: Math.round(median(times.map(({ answered }) => answered))) };
};

/** Taps “Start a job” as soon as it is there, and keeps the moment at which the answer had been drawn. */
const tapAtOnce = () => {
  const drawn = () => new Promise((done) => requestAnimationFrame(() => { const channel = new MessageChannel(); channel.port1.onmessage = done; channel.port2.postMessage(0); }));
  globalThis.answered = new Promise((done) => {
    let tapped = false;
    new MutationObserver(async (_, observer) => {
      const start = document.querySelector('a[href="#/start"]');
      if (!tapped && start) {
        tapped = true;
        globalThis.shownAt = performance.now();
        start.click();
      }
      if (tapped && document.querySelector("#job--site")) {
        observer.disconnect();
        await drawn();
        done({ shown: globalThis.shownAt, answered: performance.now() });
      }
    }).observe(document, { childList: true, subtree: true });
  });
};

const STARTS = 7;
/**
 * What the measured times may not pass, where the goals are not met: an empty page alone takes about 0.6 s on the machine of
 * the measurement, because a browser without a graphics card draws in the throttled thread. The limits leave that out and
 * are about twice what was measured beyond it, for machines under load.
 */
const START_LIMIT_MS = 4_000;
const LISTED_LIMIT_MS = 1_500;
const TYPED_LIMIT_MS = 500;

for (const [what, jobs] of [["with one job", 1], [`with ${JOBS} jobs`, JOBS]]) {
  test(`from the start of loading Jobs answers a tap, ${what}`, async (t) => {
    const { page, context, url } = await open(t);
    await kept(page);
    await begin(new Hands(page), url);
    if (jobs > 1) { await openJobs(page); await seed(page, jobs); }
    await page.close();
    const empty = await timed(context, await emptyPage(t));
    const app = await timed(context, url);
    console.log(`   Start ${what}, ${SLOWER}× slower, cached: Jobs is shown after ${app.shown} ms and has answered a tap after ${app.answered} ms; an empty page takes ${empty.answered} ms here (medians of ${STARTS}; goal ${START_GOAL_MS} ms)`);
    const own = app.answered - empty.answered;
    assert.ok(own <= START_LIMIT_MS, `${own} ms beyond an empty page; limit ${START_LIMIT_MS} ms`);
  });
}

/** The list is there, and says of those it does not show yet how many they are. */
const listShown = (page) => page.waitForFunction((count) => {
  const rows = document.querySelectorAll(".row").length;
  // One more stands above as the job to go on with.
  return rows >= 20 && document.querySelector("main").innerText.includes(`Show ${count - rows - 1} more`);
}, JOBS);

/** Listens to Event Timing: the longest time from input to picture for each interaction. Those under 16 ms are not reported. */
const listen = (page) => page.evaluate(() => {
  globalThis.interactions = new Map();
  new PerformanceObserver((list) => {
    for (const { interactionId, duration, name, processingStart, processingEnd, startTime } of list.getEntries()) {
      if (!interactionId) continue;
      const known = globalThis.interactions.get(interactionId);
      if (!known || known.duration < duration) globalThis.interactions.set(interactionId, { duration, name, waited: processingStart - startTime, worked: processingEnd - processingStart });
    }
  }).observe({ type: "event", durationThreshold: 16 });
});

/** Times from input to picture of so many interactions, in milliseconds. */
const heard = async (page, count) => {
  // Two pictures later everything has been reported.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 100)))));
  const found = (await page.evaluate(() => [...globalThis.interactions.values()])).map(({ duration }) => duration);
  assert.ok(found.length <= count, `${found.length} interactions were heard of ${count} made`);
  return [...found, ...new Array(count - found.length).fill(16)];
};

const report = (what, times) => {
  const most = ninetyFifth(times);
  console.log(`   ${what}, ${SLOWER}× slower, ${JOBS} jobs: 95 of 100 inputs are drawn within ${most} ms, half of them within ${median(times)} ms, the slowest after ${Math.max(...times)} ms (${times.length} inputs; goal ${INPUT_GOAL_MS} ms)`);
  return most;
};

test(`with ${JOBS} jobs stored every input is drawn soon after`, { timeout: 240_000 }, async (t) => {
  const { page, url } = await open(t);
  const id = await begin(new Hands(page), url);
  await openJobs(page);
  await seed(page, JOBS);
  await page.goto(`${url}#/`);
  await page.reload();
  await started(page);
  await listShown(page);
  await slowDown(page, SLOWER);
  await listen(page);

  // Opening a job from the list, and going back to the list.
  let inputs = 0;
  for (let turn = 0; turn < 10; turn += 1) {
    await page.locator(".row__main").nth(turn).tap();
    await page.locator("#export").waitFor();
    await page.locator(".shell__back").tap();
    await listShown(page);
    inputs += 2;
  }
  assert.equal(await page.locator(".row").count(), 40);
  const listed = report("Opening a job and going back", await heard(page, inputs));

  // All of them can be had.
  await page.getByRole("button", { name: /^Show \d+ more$/ }).tap();
  await page.waitForFunction((count) => document.querySelectorAll(".row").length === count - 1, JOBS);

  await page.goto(`${url}#/job/${id}/readings/as_found`);
  await page.locator("#reading-as_found-A-volts").waitFor();
  await page.evaluate(() => globalThis.interactions.clear());
  inputs = 0;
  for (const [field, text] of [["A-volts", "119.8"], ["A-amps", "2.86"], ["A-amp_angle", "22.1"], ["B-volts", "120.4"], ["B-volt_angle", "120.2"], ["B-amps", "2.79"], ["B-amp_angle", "143.5"], ["C-volts", "119.9"], ["C-volt_angle", "240.1"], ["C-amps", "2.90"], ["C-amp_angle", "264.2"]]) {
    await page.locator(`#reading-as_found-${field}`).focus();
    for (const key of text) { await page.keyboard.press(key); inputs += 1; }
  }
  const typed = report("Typing into Readings", await heard(page, inputs));
  assert.ok(listed <= LISTED_LIMIT_MS, `${listed} ms for the list; limit ${LISTED_LIMIT_MS} ms`);
  assert.ok(typed <= TYPED_LIMIT_MS, `${typed} ms for typing; limit ${TYPED_LIMIT_MS} ms`);
});
