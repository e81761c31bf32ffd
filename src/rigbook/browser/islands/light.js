// The light page: the machine's state goes to the server, and what its lamps give comes back as lines, bearings, figures.
import { h, render } from "preact";
import htm from "htm";
import { ask } from "./bench.js";
import { Controls } from "./controls.js";
import { Figure } from "./explain.js";
import { Ground } from "./ground.js";
import { Machine } from "./machine.js";
import { Polar } from "./polar.js";

const html = htm.bind(h);

/** @param {string} id @returns {HTMLElement} */
function part(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no part called ${id}`);
  return found;
}

/** @param {number} lux @param {string} unit */
const shown = (lux, unit) => `${Number((unit === "fc" ? lux * 0.09290304 : lux).toPrecision(3))}`;

/** A figure against what is asked: the sign tells it without the colour. @param {number} value @param {number | null} least */
const sign = (value, least) => (least === null ? "" : value < least * (1 - 1e-9) ? "✕" : "✓");

/** @param {{areas: any[], unit: string, stateId: string, at: string}} props */
function Areas({ areas, unit, stateId, at }) {
  // In the state that an area names its figures are those of the findings, and open their working.
  const own = (/** @type {any} */ a, /** @type {string} */ key, /** @type {string} */ text) => (a.state === stateId ? html`<${Figure} at=${at} id=${`light.scene[${a.id}].${key}`}>${text}<//>` : text);
  if (areas.length === 0) return html`<h2>Areas to work in</h2><p class="empty">None is on record under <code>scene:</code> in the build.</p>`;
  return html`<h2>Areas to work in</h2>
    <div class="wide-table" tabindex="0" role="region" aria-label="Areas to work in">
    <table>
      <thead><tr><th scope="col">Area</th><th scope="col" class="n">average ${unit}</th><th scope="col" class="n">asked</th><th scope="col" class="n">least ${unit}</th><th scope="col" class="n">asked</th><th scope="col" class="n">least / average</th><th scope="col" class="n">upright ${unit}</th></tr></thead>
      <tbody>
        ${areas.map((a) => html`<tr key=${a.id} data-area=${a.id} class=${a.state === stateId ? "own" : ""}>
          <th scope="row">${a.title}<small>${a.task ? `${a.task}; ` : ""}judged in ${a.state}</small></th>
          <td class="n">${sign(a.average_lx, a.average)} ${own(a, "average_lx", shown(a.average_lx, unit))}</td><td class="n">${a.average === null ? "–" : shown(a.average, unit)}</td>
          <td class="n">${sign(a.minimum_lx, a.least)} ${own(a, "minimum_lx", shown(a.minimum_lx, unit))}</td><td class="n">${a.least === null ? "–" : shown(a.least, unit)}</td>
          <td class="n">${a.uniformity === null ? "–" : own(a, "uniformity", a.uniformity.toFixed(2))}</td><td class="n">${a.vertical_average_lx === null ? "–" : own(a, "vertical_average_lx", shown(a.vertical_average_lx, unit))}</td>
        </tr>`)}
      </tbody>
    </table></div>
    <p class="quiet">In the state the switches are in; findings judge each area in the state it names. Upright: average on planes that face the vehicle.</p>`;
}

class Page {
  /** @param {HTMLElement} page @param {any} program @param {any} layout */
  constructor(page, program, layout) {
    this.at = `/api/builds/${encodeURIComponent(page.dataset.build ?? "")}`;
    this.page = page;
    this.program = program;
    this.layout = layout;
    this.machine = new Machine(program);
    this.refused = "";
    this.stateId = "";
    this.asked = "";
    this.working = false;
    /** @type {any} */
    this.light = null;
    this.trouble = "";
  }

  start() {
    this.last = performance.now();
    setInterval(() => this.tick(), 250);
    const wanted = new URLSearchParams(location.search).get("state") ?? this.page.dataset.first;
    const lit = this.layout.states.find((/** @type {any} */ s) => s.id === wanted);
    if (lit) this.load(lit);
    else this.refresh();
  }

  tick() {
    const now = performance.now();
    const passed = Math.round(now - /** @type {number} */ (this.last));
    this.last = now;
    if (this.machine.advance(passed)) this.refresh();
  }

  /** @param {() => string} act */
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

  /** Ask for the light of the present state; of several changes while one answer is under way, only the last is asked. */
  async fetch() {
    const query = `state=${this.machine.state.join(".")}&lost=${[...this.machine.stepper.lost].join(".")}`;
    if (query === this.asked || this.working) return;
    this.working = true;
    this.asked = query;
    const { status, data } = await ask("GET", `${this.at}/light?${query}`);
    this.working = false;
    this.trouble = status === 200 ? "" : data.says;
    if (status === 200) this.light = data;
    this.show();
    await this.fetch();
  }

  refresh() {
    render(
      html`<${Controls} variables=${this.program.variables} layout=${this.layout} hands=${this.hands()} refused=${this.refused}
        onState=${(/** @type {any} */ s) => this.load(s)} stateId=${this.stateId} />`,
      part("controls"),
    );
    this.fetch();
  }

  show() {
    this.page.dataset.shown = this.asked;
    if (this.trouble) {
      render(html`<p class="refused" role="alert">${this.trouble}</p>`, part("ground"));
      return;
    }
    const plan = part("plan-shapes").innerHTML;
    render(html`<${Ground} light=${this.light} plan=${plan} stateId=${this.stateId} />`, part("ground"));
    render(html`<${Polar} light=${this.light} letters=${this.layout.letters} />`, part("around"));
    render(html`<${Areas} areas=${this.light.areas} unit=${this.light.unit} stateId=${this.stateId} at=${this.at} />`, part("areas"));
  }
}

const page = document.getElementById("light-page");
if (page) {
  const { status, data } = await ask("GET", `/api/builds/${encodeURIComponent(page.dataset.build ?? "")}/program`);
  if (status === 200) {
    part("ground").textContent = "";
    part("around").textContent = "";
    new Page(page, data.program, data.layout).start();
  } else part("ground").textContent = `The switches could not be loaded: ${data.says}`;
}
