// The vehicle page: one machine (the compiled program and its state), shown by the drawing, the controls and the figures.
import { h, render } from "preact";
import htm from "htm";
import { terms } from "./amperes.js";
import { Controls } from "./controls.js";
import { Drawing } from "./drawing.js";
import { Figures } from "./figures.js";
import { Machine } from "./machine.js";
import { Motion } from "./motion.js";

const html = htm.bind(h);
const STEP_MS = 50;

/** @param {string} id @returns {HTMLElement} */
function part(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no part called ${id}`);
  return found;
}

/** @param {HTMLElement} page */
async function open(page) {
  const answer = await fetch(`/api/builds/${encodeURIComponent(page.dataset.build ?? "")}/program`);
  if (!answer.ok) {
    part("motion").textContent = `The switches could not be loaded (status ${answer.status}). Reload the page.`;
    return;
  }
  const { program, layout } = await answer.json();
  const opened = new Page(page, program, layout);
  opened.start();
  const wanted = new URLSearchParams(location.search).get("witness");
  if (!wanted) return;
  const whole = await fetch(`/api/builds/${encodeURIComponent(page.dataset.build ?? "")}`);
  if (!whole.ok) return;
  const report = await whole.json();
  const found = report.findings.find((/** @type {any} */ f) => f.id === wanted) ?? broken(report, wanted);
  if (found?.witness) opened.witness(found);
}

/** A broken requirement as a finding. @param {any} report @param {string} name */
function broken(report, name) {
  const found = (report.switching.requirements ?? []).find((/** @type {any} */ r) => r.name === name && r.witness);
  return found ? { id: name, says: `The requirement “${name}” is broken in this state.`, witness: found.witness } : null;
}

class Page {
  /** @param {HTMLElement} page @param {any} program @param {any} layout */
  constructor(page, program, layout) {
    this.page = page;
    this.program = program;
    this.layout = layout;
    this.machine = new Machine(program);
    this.drawing = new Drawing(page, program.devices, layout.letters);
    this.feedIndex = new Map(program.feeds.map((/** @type {any} */ f, /** @type {number} */ i) => [f.id, i]));
    this.reduced = matchMedia("(prefers-reduced-motion: reduce)");
    this.mode = "still"; // still, asking, running
    this.accepted = false;
    this.speed = 1;
    /** @type {number | null} */
    this.ms = null;
    this.refused = "";
    this.stateId = "";
  }

  start() {
    this.page.querySelector(".views")?.classList.add("lamps-live");
    this.reduced.addEventListener("change", () => this.reduced.matches && this.stop());
    document.addEventListener("keydown", (e) => e.key === "Escape" && this.mode !== "still" && this.stop());
    document.addEventListener("visibilitychange", () => document.hidden && this.mode === "running" && this.stop());
    this.last = performance.now();
    setInterval(() => this.tick(), 100);
    this.refresh();
  }

  // Timers of the program run in true time, whether or not the drawing moves.
  tick() {
    const now = performance.now();
    const passed = Math.round(now - /** @type {number} */ (this.last));
    this.last = now;
    if (this.machine.advance(passed)) this.refresh();
  }

  /** @param {() => string} act  gives why it was refused, or nothing */
  act(act) {
    this.tick();
    this.refused = act();
    this.stateId = "";
    this.refresh();
  }

  hands() {
    const machine = this.machine;
    return {
      value: (/** @type {number} */ v) => machine.value(v),
      isLost: (/** @type {number} */ v) => machine.isLost(v),
      set: (/** @type {number} */ v, /** @type {number} */ value) => this.act(() => machine.set(v, value)),
      press: (/** @type {number} */ v) => this.act(() => machine.press(v)),
      release: (/** @type {number} */ v) => this.act(() => machine.release(v)),
      lose: (/** @type {number} */ v, /** @type {boolean} */ lost) => this.act(() => machine.lose(v, lost)),
    };
  }

  /** @param {any} saved  a saved state, or null for rest */
  load(saved) {
    this.machine.load(saved ? saved.state : this.program.rest);
    this.refused = "";
    this.stateId = saved ? saved.id : "";
    this.refresh();
  }

  /** A witness: its state set, its steps beside. @param {{id: string, says: string, witness: any}} given */
  witness(given) {
    const { set, lost, steps } = given.witness;
    const state = [...this.program.rest];
    this.program.variables.forEach((/** @type {any} */ v, /** @type {number} */ i) => {
      const at = v.name in set ? v.values.indexOf(String(set[v.name])) : -1;
      if (at >= 0) state[i] = at;
    });
    this.machine.load(state);
    for (const [i, v] of this.program.variables.entries()) if (lost.includes(v.name)) this.machine.lose(i, true);
    this.stateId = "";
    this.refresh();
    const place = document.getElementById("witness");
    if (!place) return;
    const values = Object.entries(set).map(([name, value]) => `${name} ${value}`).join(", ") || "everything at rest";
    render(
      html`<h2>Witness</h2><p>${given.says}</p><p class="quiet">The switches below stand in this state: ${values}${lost.length ? `; lost: ${lost.join(", ")}` : ""}.</p>
        ${steps ? html`<ol class="steps">${steps.map((/** @type {string} */ step) => html`<li>${step}</li>`)}</ol>` : html`<p class="quiet">Allowed by the assumptions; no press sequence found.</p>`}`,
      place,
    );
    place.hidden = false;
  }

  // --- motion

  ask() {
    if (this.reduced.matches) return;
    if (this.accepted) this.run();
    else {
      this.mode = "asking";
      this.refresh();
      document.getElementById("accept-flashing")?.focus();
    }
  }

  run() {
    this.accepted = true;
    this.mode = "running";
    this.ms = this.ms ?? 0;
    let before = performance.now();
    const frame = (/** @type {number} */ now) => {
      if (this.mode !== "running") return;
      this.ms = /** @type {number} */ (this.ms) + (now - before) * this.speed;
      before = now;
      this.paint();
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    this.refresh();
    document.getElementById("stop-flashing")?.focus();
  }

  stop() {
    const back = this.mode === "running" || this.mode === "asking";
    this.mode = "still";
    this.ms = null;
    this.refresh();
    if (back) document.getElementById("start-flashing")?.focus();
  }

  step() {
    this.ms = this.ms === null ? 0 : Math.floor(this.ms / STEP_MS) * STEP_MS + STEP_MS;
    this.refresh();
  }

  // --- showing

  paint() {
    this.drawing.paint(this.outcome, this.poses, this.ms === null ? null : Math.floor(this.ms));
  }

  refresh() {
    this.outcome = this.machine.outcome();
    this.poses = this.machine.poses();
    this.paint();
    render(
      html`<${Motion} mode=${this.mode} speed=${this.speed} reduced=${this.reduced.matches} ms=${this.ms}
        onStart=${() => this.ask()} onAccept=${() => this.run()} onCancel=${() => this.stop()} onStop=${() => this.stop()}
        onSpeed=${(/** @type {number} */ s) => { this.speed = s; this.refresh(); }} onStep=${() => this.step()} />`,
      part("motion"),
    );
    render(
      html`<${Controls} variables=${this.program.variables} layout=${this.layout} hands=${this.hands()} refused=${this.refused}
        onState=${(/** @type {any} */ s) => this.load(s)} stateId=${this.stateId} />`,
      part("controls"),
    );
    const saved = this.layout.states.find((/** @type {any} */ s) => s.id === this.stateId) ?? null;
    const running = this.layout.charging.running !== null && this.machine.holds(this.layout.charging.running);
    render(
      html`<${Figures} devices=${this.program.devices} layout=${this.layout} outcome=${this.outcome} saved=${saved} running=${running}
        flowing=${terms(this.layout.draws, this.outcome, this.feedIndex)} at=${`/api/builds/${encodeURIComponent(this.page.dataset.build ?? "")}`} />`,
      part("figures"),
    );
  }
}

const page = document.getElementById("vehicle-page");
if (page) {
  part("motion").textContent = "";
  await open(page);
}

// A finding shows where it is: its lamps are ringed, and every view that has them is in sight.
document.addEventListener("click", (event) => {
  const button = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest?.("[data-devices]"));
  if (!button || !page) return;
  const devices = (button.dataset.devices ?? "").split(" ");
  /** @type {HTMLElement | null} */ (document.querySelector("[data-views='all']"))?.click();
  for (const lamp of page.querySelectorAll(".lamp")) lamp.classList.toggle("pointed", devices.includes(/** @type {SVGElement} */ (lamp).dataset.device ?? ""));
  const first = page.querySelector(".lamp.pointed");
  (first?.closest("svg") ?? page).scrollIntoView({ block: "center" });
});
