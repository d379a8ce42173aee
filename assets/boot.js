// Starts the app, and shows a plain page in its place if it cannot start or stops by a fault.

import init from "./app.js";

let hasFailed = false;

/** Replaces what is shown by the page for faults. The app's panic hook calls it; what is stored is not touched. */
const failed = (message) => {
  const lines = String(message ?? "");
  if (hasFailed) {
    document.querySelector("pre")?.append(`\n${lines}`);
    return;
  }
  hasFailed = true;
  const page = document.getElementById("failed").content.cloneNode(true);
  page.querySelector("pre").append(lines);
  const again = page.querySelector("button");
  again.addEventListener("click", () => location.reload());
  document.body.replaceChildren(page);
  again.focus();
};
window.dotsideFailed = failed;

// A fault that no panic hook sees, such as a full stack, stops the module just the same.
const fatal = (error) => error instanceof WebAssembly.RuntimeError;
addEventListener("error", (event) => { if (fatal(event.error)) failed(event.message); });
addEventListener("unhandledrejection", (event) => { if (fatal(event.reason)) failed(event.reason.message); });

try {
  await init({ module_or_path: new URL("./app_bg.wasm", import.meta.url) });
} catch (error) {
  failed(error);
}
// Also after a fault: a mended version must be able to reach this device.
import("./register.js");
