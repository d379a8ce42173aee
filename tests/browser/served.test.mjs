// What the server sends: right types, security headers, and nothing from outside its folder.

import assert from "node:assert/strict";
import { once } from "node:events";
import { request } from "node:http";
import { connect } from "node:net";
import { networkInterfaces } from "node:os";
import test from "node:test";
import { SITE, filesOf, open, serve } from "./harness.mjs";

const TYPES = {
  html: "text/html; charset=utf-8",
  js: "text/javascript; charset=utf-8",
  css: "text/css; charset=utf-8",
  txt: "text/plain; charset=utf-8",
  wasm: "application/wasm",
  webmanifest: "application/manifest+json",
  svg: "image/svg+xml",
  png: "image/png",
  woff2: "font/woff2",
};

/** A request whose path goes out exactly as written; `fetch` would tidy it. */
const ask = async (port, path, method = "GET") => {
  const asked = request({ host: "127.0.0.1", port, path, method });
  asked.end();
  const [answer] = await once(asked, "response");
  answer.resume();
  return answer;
};

test("every file has its type and the security headers", async (t) => {
  const server = await serve();
  t.after(server.stop);
  const files = await filesOf(SITE);
  assert.ok(files.includes("sw.js") && files.includes("app_bg.wasm"), files.join(" "));
  for (const file of ["", ...files]) {
    const { statusCode, headers } = await ask(server.port, `/${file}`);
    assert.equal(statusCode, 200, file);
    assert.equal(headers["content-type"], TYPES[(file || "index.html").split(".").pop()], file);
    assert.equal(headers["x-content-type-options"], "nosniff");
    assert.equal(headers["referrer-policy"], "no-referrer");
    const policy = headers["content-security-policy"];
    assert.match(policy, /^default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self';/);
    assert.match(policy, /frame-ancestors 'none'$/);
    assert.doesNotMatch(policy, /unsafe-inline/);
  }
});

test("nothing outside the folder is served, and nothing is taken in", async (t) => {
  const server = await serve();
  t.after(server.stop);
  for (const path of ["/../xtask", "/%2e%2e/.rustc_info.json", "/css/../../CACHEDIR.TAG", "/..%2fCACHEDIR.TAG", "//etc/passwd", "/css/"]) {
    assert.equal((await ask(server.port, path)).statusCode, 404, path);
  }
  for (const method of ["POST", "PUT", "DELETE"]) {
    assert.equal((await ask(server.port, "/index.html", method)).statusCode, 405, method);
  }
});

test("other machines are not let in unless asked for", async (t) => {
  const outward = Object.values(networkInterfaces()).flat().find(({ family, internal }) => family === "IPv4" && !internal);
  // A machine without a network lets nobody in; there is nothing to try, and the loopback address below still is one.
  const host = outward?.address ?? "127.0.0.2";
  const server = await serve();
  t.after(server.stop);
  const socket = connect(server.port, host);
  t.after(() => socket.destroy());
  const [how] = await Promise.race([once(socket, "connect").then(() => ["let in"]), once(socket, "error").then(() => ["refused"], () => ["refused"])].map((p) => p.catch(() => ["refused"])));
  assert.equal(how, "refused");
});

test("an inline script or style does not run, even when it gets into the page", async (t) => {
  const { page, errors } = await open(t);
  const ran = await page.evaluate(async () => {
    const script = document.createElement("script");
    script.textContent = "window.inlineRan = true";
    const style = document.createElement("style");
    style.textContent = "h1 { color: rgb(1, 2, 3) }";
    document.body.append(script, style);
    await new Promise((later) => setTimeout(later, 50));
    return [window.inlineRan, getComputedStyle(document.querySelector("h1")).color];
  });
  assert.equal(ran[0], undefined);
  assert.notEqual(ran[1], "rgb(1, 2, 3)");
  // The page's own policy and the server's each say so.
  assert.equal(errors.filter((line) => /inline script.*Content Security Policy/s.test(line)).length, 2, errors.join());
  assert.equal(errors.filter((line) => /inline style.*Content Security Policy/s.test(line)).length, 2, errors.join());
  errors.length = 0;
});
