// Every screen, once: axe looks at each, the pictures show each, and the keyboard walks through each.

/** Screens that need no job. `at` is the part of the address after the page's own. */
export const screens = [
  { name: "jobs", at: "#/" },
  { name: "start", at: "#/start" },
  { name: "inbox", at: "#/inbox" },
  { name: "calculator", at: "#/calculator" },
  { name: "phone", at: "#/phone" },
];

/** Moves to a screen and waits until its heading is drawn. */
export const show = async (page, screen) => {
  await page.evaluate((hash) => { location.hash = hash; }, screen.at);
  await page.waitForFunction(() => document.querySelector("h1")?.textContent.trim());
  // The screen before may still be on the page for a frame.
  await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
};
