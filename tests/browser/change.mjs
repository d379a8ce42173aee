// A whole meter change by hand, as the screens ask for it: an invented site, with a count of what the hands had to do.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";

/** The invented site. */
export const SITE_NAME = "Larkfell Quarry, crusher feed";
const AMPS = { A: "2.86", B: "2.79", C: "2.90" };
const VOLT_ANGLE = { A: "0", B: "120", C: "240" };
const AMP_ANGLE = { A: "22", B: "143", C: "264" };

/** Hands at the phone: what they do is counted. */
export class Hands {
  constructor(page) {
    this.page = page;
    /** Fields typed and choices tapped. */
    this.inputs = 0;
    /** Times the large button wrote something down or told of an act. */
    this.presses = 0;
    /** Steps of the visit in the order in which they were met, each once. */
    this.steps = [];
  }

  /** Times that hands leave the cabinet to enter: steps that follow one another with hands inside share one. */
  stepBacks() {
    const inside = ["as_found", "short_currents", "open_potentials", "swap_meter", "close_potentials", "restore_currents", "as_left"];
    return this.steps.filter((step, at) => inside.includes(step) && !inside.includes(this.steps[at + 1])).length;
  }

  at(id) {
    return this.page.locator(`[id="${id}"]`);
  }

  async has(id) {
    return (await this.at(id).count()) > 0;
  }

  async type(id, text) {
    await this.at(id).fill(text);
    this.inputs += 1;
  }

  async choose(id, code) {
    await this.page.locator(`label[for="${id}-${code}"]`).click();
    this.inputs += 1;
  }

  /** A button that answers several questions at once. */
  async tap(name, nth = 0) {
    await this.page.getByRole("button", { name }).nth(nth).click();
    this.inputs += 1;
  }

  /** The large button, and what comes of it: another heading, or the same one with something written down. */
  async press() {
    const before = await this.place();
    await this.page.locator(".shell__foot .act").click();
    this.presses += 1;
    // Not while it is on its way to the store: what is written down decides what is asked for next.
    await this.page.waitForFunction((before) => {
      const button = document.querySelector(".shell__foot .act")?.textContent;
      const place = `${location.hash} ${document.querySelector("#step-title, h1")?.textContent} ${button}`;
      return button && button !== "Saving…" && place !== before;
    }, before);
  }

  place() {
    return this.page.evaluate(() => `${location.hash} ${document.querySelector("#step-title, h1")?.textContent} ${document.querySelector(".shell__foot .act")?.textContent}`);
  }

  async readings(taken) {
    for (const element of ["A", "B", "C"]) {
      const id = (field) => `reading-${taken}-${element}-${field}`;
      await this.type(id("volts"), "119.8");
      if (element !== "A") await this.type(id("volt_angle"), VOLT_ANGLE[element]);
      // What was read already while a short came off stands there beforehand.
      if ((await this.at(id("amps")).inputValue()) === "") await this.type(id("amps"), AMPS[element]);
      await this.type(id("amp_angle"), AMP_ANGLE[element]);
    }
  }

  async reads(place, kwh, kw) {
    await this.type(`register-${place}-kwh_delivered-value`, kwh);
    if (kw) await this.type(`register-${place}-kw_peak-value`, kw);
    if ((await this.at(`read_set-${place}-done_at`).inputValue()) === "") await this.at(`read_set-${place}-done_at-now`).click();
  }
}

/** Begins the job; answers its id. */
export const begin = async (hands, url) => {
  const { page } = hands;
  await page.goto(`${url}#/start`);
  await hands.type("job--site", SITE_NAME);
  await hands.type("on_record--multiplier", "2800");
  await hands.type("on_record--outgoing_number", "L-4471");
  await hands.type("on_record--incoming_number", "L-9020");
  if ((await hands.at("crew--technician").inputValue()) === "") await hands.type("crew--technician", "M. Oduya");
  await hands.press();
  await page.waitForURL(/#\/job\/[a-z2-7]{26}$/);
  return /job\/([a-z2-7]{26})/.exec(page.url())[1];
};

/** What each step asks of the hands, as far as it stands on the screen. */
const STEPS = {
  async truck(hands) {
    await hands.choose("meter_plate-incoming-ratios_inside", "none");
    await hands.choose("truck--incoming_checked", "yes");
  },
  async arrive(hands) {
    await hands.tap("All as usual");
  },
  async plates(hands) {
    if (!(await hands.has("meter_plate-outgoing-number"))) return;
    await hands.choose("meter_plate-outgoing-ratios_inside", "none");
    await hands.type("ct_plate-found-A-ratio", "200:5");
    await hands.tap(/others are alike/, 0);
    await hands.type("vt_plate-found-A-ratio", "8400:120");
    await hands.tap(/others are alike/, 1);
    await hands.choose("switch--type", "blade_shorts_as_it_opens");
    await hands.choose("switch--neutral_pole", "yes");
    await hands.choose("switch--others_use", "no");
  },
  async as_found(hands) {
    await hands.tap("All as usual");
    await hands.choose("seal-found-meter-state", "intact");
    await hands.type("seal-found-meter-number", "S-100");
    await hands.readings("as_found");
  },
  early_reads: (hands) => hands.reads("outgoing-early", "45231", "118.4"),
  async short_currents(hands) {
    for (const element of ["A", "B", "C"]) {
      if (!(await hands.has(`short_proof-${element}-ct_side`))) continue;
      await hands.type(`short_proof-${element}-ct_side`, AMPS[element]);
      await hands.type(`short_proof-${element}-meter_side`, "0.02");
    }
  },
  final_reads: (hands) => hands.reads("outgoing-final", "45231", "118.4"),
  async open_potentials(hands) {
    if (!(await hands.has("dead_test--live_before"))) return;
    await hands.type("dead_test--live_before", "121");
    await hands.type("dead_test--highest_found", "0.2");
    await hands.type("dead_test--live_after", "121");
    await hands.choose("dead_test--auxiliary_dead", "none_here");
  },
  async swap_meter(hands) {
    if (await hands.has("meter_out--condition")) await hands.choose("meter_out--condition", "good");
  },
  async close_potentials(hands) {
    if (await hands.has("boot--program_seen")) await hands.tap("All as usual");
  },
  start_reads: (hands) => hands.reads("incoming-start", "0"),
  async restore_currents(hands) {
    for (const element of ["A", "B", "C"]) {
      if (!(await hands.has(`current_back-${element}-ct_side`))) continue;
      await hands.type(`current_back-${element}-ct_side`, AMPS[element]);
      await hands.type(`current_back-${element}-meter_side`, AMPS[element]);
    }
  },
  async as_left(hands) {
    await hands.readings("as_left");
    await hands.tap("All as usual");
  },
  async seals(hands) {
    await hands.type("seal-left-meter-number", "S-201");
    await hands.choose("seal-left-meter-read_back", "yes");
  },
};

/** Goes on from wherever the job stands, until `until` is the step that is due. */
export const goOn = async (hands, url, id, until = "close_out") => {
  const { page } = hands;
  await page.goto(`${url}#/job/${id}/steps`);
  const title = page.locator("#step-title");
  for (let turn = 0; turn < 80; turn += 1) {
    await title.waitFor();
    const step = await title.getAttribute("data-step");
    if (!hands.steps.includes(step)) hands.steps.push(step);
    if (step === until) return;
    const button = await page.locator(".shell__foot .act").textContent();
    if (!button.startsWith("Next:")) await STEPS[step](hands);
    await hands.press();
  }
  assert.fail(`the visit does not come to ${until}; it stands at ${await hands.place()}`);
};

/** Takes the copy of the open job off the phone; answers its text. */
export const exported = async (hands, url, id) => {
  const { page } = hands;
  await page.goto(`${url}#/job/${id}`);
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator("#export").click()]);
  return { name: download.suggestedFilename(), text: await readFile(await download.path(), "utf8") };
};

/** Signs on the close-out sheet. */
export const sign = async (hands, url, id) => {
  const { page } = hands;
  await page.goto(`${url}#/job/${id}/sheet`);
  await hands.at("signed--by").waitFor();
  await page.locator(".shell__foot .act").click();
  await page.getByText("Saved on this phone and read back").first().waitFor();
};
