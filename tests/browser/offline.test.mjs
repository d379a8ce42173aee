// Without coverage: after one visit the app starts and works with the server dead.

import assert from "node:assert/strict";
import test from "node:test";
import { open, kept, started, watch } from "./harness.mjs";
import { screens, show } from "./screens.mjs";

test("after one visit the app starts with the server dead, also at a deep link in a new tab", async (t) => {
  const { page, context, server, url } = await open(t);
  assert.ok(await kept(page));
  await server.stop();
  await page.reload();
  await started(page);
  await page.close();
  const other = await context.newPage();
  const errors = watch(other);
  await other.goto(`${url}?from=home#/calculator`);
  await started(other);
  assert.equal(new URL(other.url()).hash, "#/calculator");
  // Looking for a newer version fails, as it must without a server; anything else is a fault.
  assert.deepEqual(errors.filter((line) => !/ERR_(CONNECTION_REFUSED|INTERNET_DISCONNECTED|FAILED)/.test(line)), []);
});

test("every screen is drawn with the network off", async (t) => {
  const { page, context, errors } = await open(t);
  await kept(page);
  await context.setOffline(true);
  await page.reload();
  await started(page);
  for (const screen of screens) {
    await show(page, screen);
    assert.equal(await page.evaluate(() => location.hash || "#/"), screen.at);
  }
  for (let at = errors.length; at-- > 0; ) if (/ERR_INTERNET_DISCONNECTED/.test(errors[at])) errors.splice(at, 1);
});
