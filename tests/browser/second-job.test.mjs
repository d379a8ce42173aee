// A job at hand gets in the way of nothing: the form of the next one is blank, and the calculator knows of no job.

import assert from "node:assert/strict";
import test from "node:test";
import { open } from "./harness.mjs";
import { Hands, SITE_NAME, begin } from "./change.mjs";

test("a second job is begun while the first is at hand, and both are on the list", async (t) => {
  const { page, url } = await open(t);
  const hands = new Hands(page);
  const first = await begin(hands, url);
  await page.goto(`${url}#/start`);
  assert.equal(await page.locator("#job--site").inputValue(), "", "the first job's site does not stand in the second's form");
  assert.equal(await page.locator("#crew--technician").inputValue(), "M. Oduya", "the person is the same");
  const second = await begin(hands, url);
  assert.notEqual(second, first);
  await page.goto(`${url}#/`);
  assert.equal(await page.getByText(SITE_NAME).count(), 2);
});

test("the calculator asks for its own plates while a job is at hand", async (t) => {
  const { page, url } = await open(t);
  const id = await begin(new Hands(page), url);
  await page.goto(`${url}#/job/${id}/plates`);
  await page.locator("#ct_plate-found-A-ratio").fill("200:5");
  await page.locator("#save").click();
  await page.getByText("Saved on this phone and read back").first().waitFor();
  await page.goto(`${url}#/calculator`);
  assert.equal(await page.locator("#ct_plate-found-A-ratio").inputValue(), "");
  await page.locator("#ct_plate-found-A-ratio").fill("400:5");
  await page.locator("#ct_plate-found-A-ratio").blur();
  await page.goto(`${url}#/job/${id}/plates`);
  await page.getByText("200:5").first().waitFor();
  assert.equal(await page.getByText("400:5").count(), 0);
});
