// The stand-alone page: one machine (the compiled program and its state), a drawing that moves, three parts beside it.
import { answer } from "./answer.js";
import { Drawing } from "./drawing.js";
import { el, part } from "./elements.js";
import { signalRow, switchRow } from "./hands.js";
import { Machine } from "./machine.js";
import { tour } from "./tour.js";

const VIEWS = ["all", "plan", "front", "left", "rear", "right"];
const ZONES = ["front", "right", "rear", "left"];
const SPEEDS = [[1, "true speed"], [0.5, "half"], [0.25, "quarter"], [0.1, "one tenth"]];
const STEP_MS = 50;

class Page {
  /** @param {any} data */
  constructor(data) {
    this.data = data;
    this.program = data.program;
    this.machine = new Machine(data.program);
    this.drawing = new Drawing(part("picture"), data.program.devices, data.letters);
    this.reduced = matchMedia("(prefers-reduced-motion: reduce)");
    this.mode = "still"; // still, asking, running
    this.accepted = false;
    this.speed = 1;
    /** @type {number | null} */
    this.ms = null;
    /** @type {(() => void)[]} */
    this.shows = [];
    this.stateId = "";
    this.answer = answer(this);
    this.build();
    this.last = performance.now();
    setInterval(() => this.tick(), 100);
    document.addEventListener("keydown", (e) => e.key === "Escape" && this.mode !== "still" && this.stop());
    document.addEventListener("visibilitychange", () => document.hidden && this.stop());
    this.reduced.addEventListener("change", () => { if (this.reduced.matches) this.stop(); this.drawMotion(); });
    this.view(matchMedia("(max-width: 760px)").matches ? "plan" : "all");
    this.drawMotion();
    this.refresh();
  }

  build() {
    part("choice").append(...VIEWS.map((name) => el("button", { type: "button", class: "segment", "data-view": name, onclick: () => this.view(name) }, name[0].toUpperCase() + name.slice(1))));
    part("letters").append(Object.entries(this.data.letters).map(([colour, letter]) => `${letter} ${colour}`).join(", "));
    const parts = { try: this.tryPart(), tour: tour(this), answer: this.answer };
    const titles = { try: "Try it", tour: "Tour", answer: "Your answer" };
    const tabs = el("div", { class: "tabs", role: "tablist", "aria-label": "Parts of the page" });
    const boxes = Object.entries(parts).map(([id, one]) => {
      const tab = el("button", { type: "button", role: "tab", id: `tab-${id}`, "aria-controls": `part-${id}`, onclick: () => this.open(id) }, titles[/** @type {keyof typeof titles} */ (id)]);
      tab.addEventListener("keydown", (e) => this.turn(e));
      tabs.append(tab);
      return el("section", { id: `part-${id}`, role: "tabpanel", "aria-labelledby": `tab-${id}` }, one.box);
    });
    part("parts").append(tabs, ...boxes);
    this.open("try");
  }

  /** Left and right go from one part to the next, as in any list of tabs. @param {KeyboardEvent} e */
  turn(e) {
    const step = e.key === "ArrowRight" ? 1 : e.key === "ArrowLeft" ? -1 : 0;
    if (!step) return;
    const tabs = [...document.querySelectorAll("[role=tab]")];
    const next = /** @type {HTMLElement} */ (tabs[(tabs.indexOf(/** @type {Element} */ (e.currentTarget)) + step + tabs.length) % tabs.length]);
    next.click();
    next.focus();
  }

  /** @param {string} id */
  open(id) {
    document.body.dataset.part = id;
    for (const tab of document.querySelectorAll("[role=tab]")) {
      const own = tab.id === `tab-${id}`;
      tab.setAttribute("aria-selected", String(own));
      tab.setAttribute("tabindex", own ? "0" : "-1");
    }
    for (const box of document.querySelectorAll("[role=tabpanel]")) /** @type {HTMLElement} */ (box).hidden = box.id !== `part-${id}`;
  }

  tryPart() {
    const states = [{ id: "", title: "All at rest", state: null }, ...this.data.states].map((s) =>
      el("button", { type: "button", class: "button", "data-state": s.id, onclick: () => this.load(s) }, s.title),
    );
    this.shows.push(() => states.forEach((key) => key.setAttribute("aria-pressed", String(this.stateId === key.dataset.state))));
    const rows = (/** @type {number[]} */ indexes, /** @type {any} */ make) => {
      const made = indexes.map((i) => make(this, i));
      this.shows.push(...made.map((/** @type {any} */ m) => m.show));
      return el("div", { class: "rows" }, ...made.map((/** @type {any} */ m) => m.row));
    };
    const signals = this.program.variables.flatMap((/** @type {any} */ v, /** @type {number} */ i) => (v.kind === "signal" ? [i] : []));
    return {
      box: el("div", {},
        el("section", { class: "panel" }, el("h2", {}, "Situations"), el("div", { class: "states" }, ...states)),
        el("section", { class: "panel" }, el("h2", {}, "The vehicle stands …"), el("div", { class: "states" }, ...this.standings()), el("p", { class: "quiet" }, "Gear, ignition and engine; the switches stay as you set them.")),
        ...this.data.panels.map((/** @type {any} */ p) => el("section", { class: "panel" }, el("h2", {}, p.title), rows(p.switches, switchRow))),
        el("details", { class: "panel", id: "signals" }, el("summary", {}, "What the vehicle reports: gear, doors, brake …"), el("p", { class: "quiet" }, "Set here what the vehicle would tell the controller. “Lost” tries what happens when the wire or data bus fails."), rows(signals, signalRow)),
      ),
      show: () => {},
    };
  }

  /** Keys that put gear, ignition and engine where a standing start has them, and leave the switches alone. */
  standings() {
    const { variables, rest } = this.program;
    const of = (/** @type {any[]} */ events) => Object.assign({}, ...events.filter(([what]) => what === "set").map(([, changes]) => changes));
    const all = [{ name: "switched off", signals: {} }, ...this.data.starts.map((/** @type {any} */ s) => ({ name: s.name, signals: of(s.events) }))];
    const concerned = new Set(all.flatMap((one) => Object.keys(one.signals)));
    /** @type {Map<string, any>} */
    const values = new Map(variables.map((/** @type {any} */ v, /** @type {number} */ i) => [v.name, v.values[rest[i]]]));
    return all.map((one) => {
      const wanted = Object.fromEntries([...concerned].map((name) => [name, /** @type {any} */ (one.signals)[name] ?? values.get(name)]));
      const key = el("button", { type: "button", class: "button", "data-standing": one.name, onclick: () => this.act(() => this.machine.setSignals(wanted)) }, one.name);
      this.shows.push(() => key.setAttribute("aria-pressed", String(Object.entries(wanted).every(([name, value]) => this.machine.stepper.value(name) === value))));
      return key;
    });
  }

  // --- what is done

  /** Timers of the program run in true time, whether or not the drawing moves. */
  tick() {
    const now = performance.now();
    const passed = Math.round(now - this.last);
    this.last = now;
    if (this.machine.advance(passed)) this.refresh();
  }

  /** @param {() => string} act  gives why it was refused, or nothing */
  act(act) {
    this.tick();
    const refused = act();
    const place = part("refused");
    place.textContent = refused;
    place.hidden = !refused;
    this.stateId = "none";
    this.refresh();
  }

  /** @param {any} saved */
  load(saved) {
    this.machine.load(saved.state ?? this.program.rest);
    part("refused").hidden = true;
    this.stateId = saved.id;
    this.refresh();
  }

  /** What the tour shows: from rest to its standing start, then its steps. @param {any} one */
  demonstrate(one) {
    this.machine.load(this.program.rest);
    const start = this.data.starts.find((/** @type {any} */ s) => s.name === one.start);
    for (const [what, about] of [...start.events, ...one.events]) this.machine.stepper[what](about);
    this.stateId = "none";
    part("refused").hidden = true;
    this.refresh();
    if (!this.accepted && this.mode === "still") this.ask();
  }

  /** @param {string} subject */
  remark(subject) {
    this.open("answer");
    this.answer.remark(subject);
  }

  // --- motion

  ask() {
    if (this.reduced.matches) return;
    if (this.accepted) return this.run();
    this.mode = "asking";
    this.drawMotion();
    document.getElementById("accept-flashing")?.focus({ preventScroll: true });
  }

  run() {
    this.accepted = true;
    this.mode = "running";
    this.ms = this.ms ?? 0;
    let before = performance.now();
    const frame = (/** @type {number} */ now) => {
      if (this.mode !== "running") return;
      this.ms = /** @type {number} */ (this.ms) + Math.max(0, now - before) * this.speed;
      before = now;
      this.paint();
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    this.drawMotion();
    document.getElementById("stop-flashing")?.focus({ preventScroll: true });
  }

  stop() {
    if (this.mode === "still") return;
    this.mode = "still";
    this.ms = null;
    this.drawMotion();
    this.paint();
    document.getElementById("start-flashing")?.focus({ preventScroll: true });
  }

  step() {
    this.ms = this.ms === null ? 0 : Math.floor(this.ms / STEP_MS) * STEP_MS + STEP_MS;
    this.drawMotion();
    this.paint();
  }

  drawMotion() {
    const place = part("motion");
    const key = (/** @type {string} */ id, /** @type {string} */ words, /** @type {() => void} */ act, more = {}) => el("button", { type: "button", class: "button", id, onclick: act, ...more }, words);
    if (this.mode === "asking") {
      place.replaceChildren(
        el("div", { class: "caution", role: "alertdialog", "aria-labelledby": "flash-caution", "aria-describedby": "flash-words" },
          el("strong", { id: "flash-caution" }, "Caution: flashing light"),
          el("p", { id: "flash-words" }, "The lamps will flash as on the vehicle. Flashing light can set off seizures in photosensitive people. Stop is one press away, and the flashing can be slowed."),
          key("accept-flashing", "Start flashing", () => this.run()), key("leave-still", "Leave it still", () => this.stop())),
      );
      return;
    }
    if (this.mode === "running") {
      const speed = el("select", { id: "speed", "aria-label": "Speed", onchange: (/** @type {Event} */ e) => { this.speed = Number(/** @type {HTMLSelectElement} */ (e.currentTarget).value); } }, ...SPEEDS.map(([v, words]) => el("option", { value: v, selected: v === this.speed }, String(words))));
      place.replaceChildren(key("stop-flashing", "Stop flashing", () => this.stop(), { class: "button first" }), speed);
      return;
    }
    place.replaceChildren(
      key("start-flashing", "Flash as on the vehicle…", () => this.ask(), { class: "button first", disabled: this.reduced.matches }),
      key("step", "Step 50 ms", () => this.step()),
      el("p", { class: "quiet" }, this.reduced.matches ? "This device asks for less motion, so flashing stays off; step through it instead." : this.ms === null ? "Held still: all lamps that are on are shown at once." : `Held at ${this.ms} ms.`),
    );
  }

  // --- showing

  /** @param {string} name */
  view(name) {
    part("picture").dataset.shown = name;
    for (const key of part("choice").children) key.setAttribute("aria-pressed", String(/** @type {HTMLElement} */ (key).dataset.view === name));
  }

  paint() {
    this.drawing.paint(this.outcome, this.poses, this.ms === null ? null : Math.floor(this.ms));
  }

  refresh() {
    this.outcome = this.machine.outcome();
    this.poses = this.machine.poses();
    this.paint();
    for (const show of this.shows) show();
    part("zones").replaceChildren(...ZONES.map((zone) => {
      const colours = new Set();
      this.outcome.lit.forEach((/** @type {any} */ lit, /** @type {number} */ i) => { if (this.outcome.zones[i].includes(zone)) for (const [colour] of lit) colours.add(colour); });
      return el("li", { "data-zone": zone }, el("span", {}, zone), ...(colours.size ? [...colours].map((c) => el("b", { class: `chip chip-${c}`, title: c }, this.data.letters[c] ?? "?")) : [el("i", {}, "dark")]));
    }), ...this.sounding());
  }

  /** Devices that no drawing shows: the siren, relays, requests. */
  sounding() {
    const { devices, contents } = this.program;
    return devices.flatMap((/** @type {any} */ d, /** @type {number} */ i) => {
      const state = this.outcome.driven[i];
      return state !== null && d.kind === "device" && state !== contents[d.rest].state ? [el("li", { "data-device": d.id }, el("span", {}, d.id.replaceAll("-", " ")), el("b", {}, state))] : [];
    });
  }
}

const opened = new Page(JSON.parse(part("data").textContent ?? ""));
// for those who measure: what the last state shows
/** @type {any} */ (globalThis).rigbookPage = opened;
