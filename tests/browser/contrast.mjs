// Computes the contrast of every pair of tokens that carry text or shape, in both themes, and fails under the promised ratio.
// Run: node tests/browser/contrast.mjs   (WCAG 2.2 relative luminance; 7:1 for reading text, 3:1 for shapes and borders one acts on)
import { readFileSync } from "node:fs";

const css = readFileSync(new URL("../../assets/css/tokens.css", import.meta.url), "utf8").replace(/\/\*[\s\S]*?\*\//g, "");

/** All `--name: #rrggbb` of the first block whose selector holds `selector`. */
function block(selector) {
  const at = css.indexOf(selector);
  if (at < 0) throw new Error(`tokens.css has no block for ${selector}`);
  const body = css.slice(css.indexOf("{", at), css.indexOf("}", at));
  return Object.fromEntries([...body.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})/gi)].map((m) => [m[1], m[2]]));
}
const fixed = Object.fromEntries([...css.matchAll(/--([\w-]+(?:-face|-word)):\s*(#[0-9a-f]{6})/gi)].map((m) => [m[1], m[2]]));
const light = { ...block('[data-theme="light"]'), ...fixed };
const dark = { ...block('[data-theme="dark"]'), ...fixed };
const auto = { ...block('[data-theme="auto"]'), ...fixed };

const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
function luminance(hex) {
  const [r, g, b] = [1, 3, 5].map((i) => linear(parseInt(hex.slice(i, i + 2), 16) / 255));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function ratio(a, b) {
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p);
  return (x + 0.05) / (y + 0.05);
}

const text = [
  ["ink", "paper"], ["ink", "sheet"], ["ink", "sunk"], ["ink", "tint"], ["ink-soft", "paper"], ["ink-soft", "sheet"], ["ink-soft", "sunk"], ["ink-soft", "tint"],
  ["deep", "paper"], ["deep", "sheet"], ["deep", "tint"], ["deep-ink", "deep"], ["good", "good-tint"], ["good", "sheet"], ["odd", "odd-tint"], ["odd", "paper"], ["odd", "sheet"],
  ["stop", "stop-tint"], ["stop", "paper"], ["stop-ink", "stop"], ["ink", "stop-tint"], ["ink", "warn-tint"], ["ink", "care-tint"], ["ink", "note-tint"], ["ink", "odd-tint"],
  ["danger-word", "danger-face"], ["warning-word", "warning-face"], ["caution-word", "caution-face"], ["notice-word", "notice-face"], ["live-word", "live-face"],
];
// warn marks the next act; its arrow and frame never stand alone: the pole under it is named and outlined too.
const shape = [["deep", "sheet"], ["good", "sheet"], ["odd", "sheet"], ["ink-soft", "sheet"], ["care", "care-tint"], ["note", "note-tint"], ["warn", "warn-tint"], ["warn", "sheet"]];

let failed = 0;
for (const [name, theme] of Object.entries({ light, dark })) {
  const line = (pairs, least) => pairs.filter(([a, b]) => theme[a] && theme[b]).map(([a, b]) => {
    const r = ratio(theme[a], theme[b]);
    if (r < least) failed += 1;
    return `${a}/${b} ${r.toFixed(1)}${r < least ? " TOO LOW" : ""}`;
  });
  console.log(`${name} text: ${line(text, 7).join(", ")}`);
  console.log(`${name} shapes: ${line(shape, 3).join(", ")}`);
}
if (JSON.stringify(dark) !== JSON.stringify(auto)) {
  failed += 1;
  console.log("the dark and the auto block differ");
}
process.exit(failed ? 1 : 0);
