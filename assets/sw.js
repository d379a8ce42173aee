// Keeps every file of the app on the device. A pointer names the version in use; only a tap moves it to a newer one,
// so the app never changes under a job and never runs a mix of two versions.

const VERSION = "/*VERSION*/"; // written by cargo xtask: made from the hashes below
const FILES = [/*FILES*/]; // [name, SHA-256 as base64]
const ROOT = new URL("./", self.location).href;
const url = (name) => new URL(name, ROOT).href;
// Caches belong to the whole origin, which may hold another Dotside under another path.
const PREFIX = `dotside ${ROOT} `;
const POINTERS = "dotside-pointers";
const POINTER = url("__current");

let known; // what the pointer says; forgotten when this worker takes over
const current = async () => (known ??= await (await (await caches.open(POINTERS)).match(POINTER))?.text());

const use = async (version) => {
  await (await caches.open(POINTERS)).put(POINTER, new Response(version));
  known = version;
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== PREFIX + version) await caches.delete(name);
  }
};

/** Fetches one file past the browser's own cache and keeps it, if it is the very file this version was made of. */
const keep = async (cache, [name, hash]) => {
  const response = await fetch(url(name), { cache: "reload", redirect: "error", integrity: `sha256-${hash}` });
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  await cache.put(url(name), response);
};

const install = async () => {
  const now = await current();
  const cache = await caches.open(PREFIX + VERSION);
  try {
    await Promise.all(FILES.map((file) => keep(cache, file)));
  } catch (error) {
    if (now !== VERSION) await caches.delete(PREFIX + VERSION);
    throw error;
  }
  if (!now || !(await caches.has(PREFIX + now))) await use(VERSION);
  await skipWaiting(); // the worker changes, its app does not
};

const answer = async (event) => {
  if (event.data === "which") event.source.postMessage({ current: await current(), ready: VERSION });
  if (event.data === "use-new") {
    await use(VERSION);
    event.source.postMessage("reload");
  }
};

/** The file as this device keeps it; what is not among the app's files comes from the network. */
const serve = async (request) => {
  const address = new URL(request.url);
  const key = request.mode === "navigate" ? url("index.html") : address.origin + address.pathname;
  const kept = await (await caches.open(PREFIX + (await current()))).match(key);
  return kept ?? fetch(request);
};

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => {
  known = undefined;
  event.waitUntil(clients.claim());
});
addEventListener("message", (event) => event.waitUntil(answer(event)));
addEventListener("fetch", (event) => {
  const { method, url: address } = event.request;
  if (method === "GET" && address.startsWith(ROOT)) event.respondWith(serve(event.request));
});
