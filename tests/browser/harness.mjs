// What every end-to-end run starts from: the app served by `cargo xtask serve`, and a Chromium the size of a phone or a desk.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { cp, mkdtemp, readdir, rm } from "node:fs/promises";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const told = (name) => {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set: start the runs by \`cargo xtask e2e\`, not by hand.`);
  return value;
};

/** The bundle as a phone gets it. */
export const SITE = told("DOTSIDE_SITE");

/** Another version of it: every script, style, page and drawing carries this mark at its end. */
export const MARK = "the next version";
export const siteNext = () => told("DOTSIDE_SITE_NEXT");

export const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
export const DESK = { viewport: { width: 1280, height: 800 } };

/** Serves a bundle by the project's own server; answers its address and how to stop it. */
export const serve = async (folder = SITE, port = 0) => {
  const child = spawn(told("DOTSIDE_XTASK"), ["serve", "--built", folder, "--port", String(port)], { stdio: ["ignore", "pipe", "inherit"] });
  const gone = once(child, "exit");
  for await (const line of createInterface({ input: child.stdout })) {
    const url = /http:\/\/127\.0\.0\.1:\d+\//.exec(line)?.[0];
    if (url) {
      return { url, port: Number(new URL(url).port), stop: async () => { child.kill("SIGKILL"); await gone; } };
    }
  }
  throw new Error("The server ended before it said where it is.");
};

/** A Chromium of our own; with `profile`, one that keeps what it stores in that folder. */
export const browse = () => chromium.launch(launchOptions());
export const browseWithProfile = (profile, options = PHONE) => chromium.launchPersistentContext(profile, { ...launchOptions(), ...options });
const launchOptions = () => ({ executablePath: told("DOTSIDE_CHROMIUM"), args: ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"] });

/** A folder that is removed when the test ends; `from` is copied into it. */
export const folderFor = async (t, from) => {
  const folder = await mkdtemp(join(tmpdir(), "dotside-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  if (from) await cp(from, folder, { recursive: true });
  return folder;
};

/**
 * The app, served and open on its first screen. Everything is closed when the test ends, and the test fails if the page
 * reported an error nobody expected (`app.errors` holds them; a test that provokes one empties the list). `before` gets the
 * page before the app is loaded.
 */
export const open = async (t, { folder = SITE, options = PHONE, at = "", before = async () => {} } = {}) => {
  const server = await serve(folder);
  t.after(server.stop);
  const browser = await browse();
  t.after(() => browser.close());
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const errors = watch(page);
  t.after(() => { if (errors.length) throw new Error(`The page reported: ${errors.join(" | ")}`); });
  await before(page, server.url);
  await page.goto(server.url + at);
  await started(page);
  return { server, browser, context, page, errors, url: server.url };
};

/** Collects what a page complains of: faults, and what the Content-Security-Policy refused. */
export const watch = (page) => {
  const errors = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (line) => { if (line.type() === "error") errors.push(line.text()); });
  return errors;
};

/** The app has drawn its first screen in place of the sentence that it is starting. */
export const started = async (page) => {
  await page.waitForFunction(() => {
    const stopped = document.querySelector("body > main > pre");
    if (stopped) throw new Error(`The app has stopped: ${stopped.textContent}`);
    return document.querySelector("h1") && !document.body.textContent.includes("Dotside is starting.");
  }, undefined, { timeout: 20_000 });
};

/** The whole app is kept on this device; answers the version in use. */
export const kept = async (page) => {
  await page.waitForFunction(() => navigator.serviceWorker.controller, undefined, { timeout: 20_000 });
  return (await versions(page)).current;
};

/** What the service worker says of the version in use and its own. */
export const versions = (page) => page.evaluate(() => new Promise((resolve) => {
  const hear = (event) => {
    if (!event.data?.ready) return;
    navigator.serviceWorker.removeEventListener("message", hear);
    resolve(event.data);
  };
  navigator.serviceWorker.addEventListener("message", hear);
  navigator.serviceWorker.controller.postMessage("which");
}));

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What axe finds wrong on the screen that is shown, one sentence each. */
export const axe = async (page) => {
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
  return violations.map(({ id, help, nodes }) => `${id}: ${help} (${nodes.map((node) => node.target.join(" ")).join("; ")})`);
};

/** Every file of a bundle, by its name relative to it. */
export const filesOf = async (folder) => {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1)).sort();
};
