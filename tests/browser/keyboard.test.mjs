// Everything that can be pressed can be reached by the Tab key, in the order it is read, and shows that it is reached.

import assert from "node:assert/strict";
import test from "node:test";
import { DESK, open, started } from "./harness.mjs";
import { jobScreens, openJobs, screens, show } from "./screens.mjs";

/** Walks through the page by Tab; answers what was reached, and which of it gave no sign of being reached. */
const walk = async (page) => {
  const reached = new Set();
  const unmarked = [];
  for (let press = 0; press < 200; press += 1) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const element = document.activeElement;
      if (!element || element === document.body) return undefined;
      const all = [...document.querySelectorAll("*")];
      const { outlineStyle, boxShadow } = getComputedStyle(element);
      const label = element.closest("label");
      const inside = [element, label, ...label?.querySelectorAll("*") ?? []].filter(Boolean);
      const seen = outlineStyle !== "none" || boxShadow !== "none" || inside.some((one) => getComputedStyle(one).outlineStyle !== "none");
      return { place: all.indexOf(element), words: element.outerHTML.slice(0, 120), seen };
    });
    if (!at || reached.has(at.place)) break;
    reached.add(at.place);
    if (!at.seen) unmarked.push(at.words);
  }
  return { reached, unmarked };
};

/** What a person could press, as places in the document; of radio buttons one of each group is reached by Tab. */
const pressable = (page) => page.evaluate(() => {
  const all = [...document.querySelectorAll("*")];
  const groups = new Set();
  return all.filter((element) => {
    if (!element.matches("a[href], button, input, select, textarea, summary") || element.disabled) return false;
    if (!element.checkVisibility({ visibilityProperty: true }) || element.tabIndex < 0) return false;
    if (element.type === "radio") {
      if (groups.has(element.name)) return false;
      groups.add(element.name);
      return false; // any one of the group may be the one reached
    }
    return true;
  }).map((element) => ({ place: all.indexOf(element), words: element.outerHTML.slice(0, 120) }));
});

test("the Tab key reaches everything on every screen, and it shows", async (t) => {
  const { page } = await open(t, { options: DESK });
  await openJobs(page);
  for (const screen of [...screens, ...jobScreens]) {
    await show(page, screen);
    // Loaded anew, the Tab key starts at the top, as it does for a person who comes to the page.
    await page.reload();
    await started(page);
    await show(page, screen);
    const wanted = await pressable(page);
    assert.ok(wanted.length > 0, `${screen.name} has something to press`);
    const { reached, unmarked } = await walk(page);
    assert.deepEqual(wanted.filter(({ place }) => !reached.has(place)).map(({ words }) => words), [], `${screen.name}: not reached`);
    assert.deepEqual(unmarked, [], `${screen.name}: no sign of focus`);
  }
});
