// What the tests of the page put in the place of a browser's own functions, and what they look at afterwards.
const undo = [];

function define(on, name, value) {
  const was = Object.getOwnPropertyDescriptor(on, name);
  Object.defineProperty(on, name, { configurable: true, writable: true, value });
  undo.push(() => { if (was) Object.defineProperty(on, name, was); else delete on[name]; });
}

export function restore() {
  while (undo.length) undo.pop()();
}

export function without(name) {
  define(name === "BroadcastChannel" || name === "dotsideFailed" ? window : navigator, name, undefined);
}

let clicked;
export function catch_download() {
  clicked = undefined;
  define(HTMLAnchorElement.prototype, "click", function () {
    clicked = { name: this.download, address: this.href, placed: this.isConnected };
  });
}

export async function downloaded() {
  const answer = await fetch(clicked.address);
  const text = await answer.text();
  return JSON.stringify([clicked.name, clicked.placed, answer.headers.get("content-type"), text]);
}

let shared;
export function stub_share(outcome) {
  define(navigator, "canShare", (data) => data.files?.[0]?.type === "application/json");
  define(navigator, "share", async (data) => {
    shared = data;
    if (outcome) throw new DOMException("", outcome);
  });
}

export async function what_was_shared() {
  const [file] = shared.files;
  return JSON.stringify([shared.title, file.name, file.type, await file.text()]);
}

let copied;
export function stub_clipboard(refuse) {
  define(navigator, "clipboard", {
    writeText: async (text) => { if (refuse) throw new DOMException("", "NotAllowedError"); copied = text; },
  });
}

export function what_was_copied() { return copied; }

let reads = 0;
export function count_reads() {
  reads = 0;
  const was = Blob.prototype.arrayBuffer;
  define(Blob.prototype, "arrayBuffer", function () { reads += 1; return was.call(this); });
}

export function reads_counted() { return reads; }

export function file_of(name, size) {
  return new File([new Uint8Array(size)], name);
}

export function unreadable_file(name) {
  const file = new File(["x"], name);
  file.arrayBuffer = async () => { throw new DOMException("gone", "NotFoundError"); };
  return file;
}

export function drop_file(name) {
  const data = new DataTransfer();
  data.items.add(new File(["x"], name));
  const event = new DragEvent("drop", { dataTransfer: data, cancelable: true, bubbles: true });
  document.body.dispatchEvent(event);
  return event.defaultPrevented;
}

let wake = { asked: 0, released: 0 };
export function stub_wake(refuse) {
  wake = { asked: 0, released: 0 };
  define(navigator, "wakeLock", {
    request: async (kind) => {
      if (refuse || kind !== "screen") throw new DOMException("", "NotAllowedError");
      wake.asked += 1;
      return { release: async () => { wake.released += 1; } };
    },
  });
}

export function wake_counts() { return JSON.stringify([wake.asked, wake.released]); }

export function see_again() {
  define(document, "visibilityState", "visible");
  document.dispatchEvent(new Event("visibilitychange"));
}

export function go(state) {
  define(navigator, "onLine", state === "online");
  window.dispatchEvent(new Event(state));
}

export function put_text(key, text) { localStorage.setItem(key, text); }
export function text_of(key) { return localStorage.getItem(key) ?? undefined; }
export function clear_storage() { localStorage.clear(); }
export function fill_storage() {
  let size = 1 << 20;
  for (let n = 0; size >= 1; ) {
    try { localStorage.setItem("filler" + n, "x".repeat(size)); n += 1; } catch { size = Math.floor(size / 2); }
  }
}

export function root_theme() { return document.documentElement.getAttribute("data-theme") ?? undefined; }
