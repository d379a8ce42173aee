// Puts the screen and theme named in the address into the gallery page, with pictures where they have been drawn.
async function show() {
  const [screen, theme] = (location.hash.slice(1) || "jobs").split("/");
  const template = document.getElementById(screen) ?? document.getElementById("jobs");
  document.documentElement.dataset.theme = theme || "light";
  document.querySelectorAll("body > .shell").forEach((old) => old.remove());
  const page = template.content.cloneNode(true);
  for (const here of page.querySelectorAll("nav-here")) here.replaceWith(document.getElementById("nav").content.cloneNode(true));
  for (const rows of page.querySelectorAll("[data-repeat]")) {
    const one = rows.innerHTML;
    rows.innerHTML = one.repeat(Number(rows.dataset.repeat));
  }
  document.body.append(page);
  for (const figure of document.querySelectorAll("[data-picture]")) figure.innerHTML = window.PICTURES?.[figure.dataset.picture] ?? "";
}
addEventListener("hashchange", show);
show();
