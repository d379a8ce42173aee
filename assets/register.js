// Between the page and its service worker: keeps the app for use without coverage, offers a new version, switches on a tap.
//
// Tells the page by two events on window: `dotside-update`, detail {ready: true}, when another version is complete on this
// device and waits for the tap; `dotside-offline` when the version in use is complete on this device.
// Hears two events on window: `dotside-ask-update` (tell again what is known; for whoever begins to listen late) and
// `dotside-use-update` (the tap).

const workers = navigator.serviceWorker; // absent where the page is not trusted, such as plain http from another machine
let state = { ready: false, offline: false };

const tell = () => {
  if (state.offline) dispatchEvent(new Event("dotside-offline"));
  if (state.ready) dispatchEvent(new CustomEvent("dotside-update", { detail: { ready: true } }));
};
const ask = () => workers.controller?.postMessage("which");

addEventListener("dotside-ask-update", tell);
addEventListener("dotside-use-update", () => workers?.controller?.postMessage("use-new"));

if (workers) {
  workers.addEventListener("message", (event) => {
    if (event.data === "reload") {
      location.reload();
    } else {
      const { current, ready } = event.data;
      state = { ready: ready !== current, offline: current !== undefined };
      tell();
    }
  });
  workers.addEventListener("controllerchange", ask);
  try {
    const registration = await workers.register("./sw.js", { updateViaCache: "none" });
    ask();
    const look = () => registration.update().catch(() => {}); // without coverage there is nothing to look for
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") look(); });
  } catch (error) {
    // Without coverage, or while a new version is half on the server: what is on this device goes on working.
    console.info("No new version could be looked for:", error.message);
    ask();
  }
}
