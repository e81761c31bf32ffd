// The Power page: feeds and outputs with wire, fuse and drop to change in place; worst cases, supply, day, charts.
import { effect, signal } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { ask, benchOf } from "./bench.js";
import { Figure } from "./explain.js";

const html = htm.bind(h);
const bench = benchOf();
const page = /** @type {HTMLElement} */ (document.getElementById("power-page"));
const readOnly = page.dataset.readOnly === "yes";
const drawn = signal(/** @type {any} */ (null));
const chained = signal("");
const chart = signal(/** @type {any} */ (null));
const refused = signal("");

/** @param {number | null | undefined} value @param {number} [digits] */
const a = (value, digits = 3) => (value === null || value === undefined ? "–" : `${Number(value.toPrecision(digits))} A`);
/** @param {string} id @param {any} children */
const figure = (id, children) => html`<${Figure} at=${bench.at} id=${id}>${children}<//>`;
/** @param {boolean | null | undefined} value */
const tick = (value) => (value === null || value === undefined ? "–" : value ? "✓" : "✕");

/** A field of the text, edited in place: same edit, same check as everywhere. @param {{path: string, value: string, label: string, list: string, why: string}} given */
function Field({ path, value, label, list, why }) {
  if (readOnly) return html`<span>${value}</span>`;
  /** @param {any} event */
  const put = async (event) => {
    const typed = event.target.value.trim();
    if (typed === value) return;
    const operation = typed === "" || typed === "auto" ? { do: "set", path, value: "auto" } : { do: "set", path, value: typed };
    const { ok, says } = await bench.edit([operation], why);
    refused.value = ok ? "" : says;
    if (!ok) event.target.value = value;
  };
  return html`<input class="cell power-cell" aria-label=${label} value=${value} list=${list} onChange=${put} onKeyDown=${(/** @type {any} */ e) => { if (e.key === "Enter") e.target.blur(); }} />`;
}

/** Worst verdict of what a fuse guards. @param {any} report @param {string} id */
function verdictOf(report, id) {
  const own = report.power.guarded.filter((/** @type {any} */ g) => g.guard === id);
  if (!own.length) return null;
  return own.some((/** @type {any} */ g) => g.protected === false) ? false : own.every((/** @type {any} */ g) => g.protected) ? true : null;
}

/** @param {{report: any, feeds: any[]}} props */
function Feeds({ report, feeds }) {
  const figures = new Map(report.power.feeds.map((/** @type {any} */ f) => [f.id, f]));
  const circuits = new Map(report.power.circuits.map((/** @type {any} */ c) => [c.id, c]));
  const fuses = new Map(report.power.protection.map((/** @type {any} */ p) => [p.id, p]));
  return html`${refused.value ? html`<p class="refused" role="alert">${refused.value}</p>` : null}
    <div class="wide-table" tabindex="0" role="region" aria-label="Table of feeds"><table>
    <thead><tr><th scope="col">Feed</th><th scope="col">To</th><th scope="col">Fuse</th><th scope="col">Wire</th><th scope="col" class="n">Worst RMS</th><th scope="col" class="n">Worst peak</th><th scope="col" class="n">Name-plate</th><th scope="col" class="n">Carries</th><th scope="col" class="n">Drop</th><th scope="col">Protected</th><th scope="col">Breaks</th><th scope="col">First to open</th></tr></thead>
    <tbody>${feeds.map((f) => {
      const it = /** @type {any} */ (figures.get(f.id));
      const own = /** @type {any} */ (circuits.get(f.id));
      const fuse = /** @type {any} */ (fuses.get(f.id));
      if (!it) return null;
      const drop = own?.drop_fraction ?? null;
      return html`<tr key=${f.id}><th scope="row"><button class="link" aria-pressed=${chained.value === f.id ? "true" : "false"} title="Show its time-current chart" onClick=${() => { chained.value = f.id; }}>${f.id}</button><small>from ${f.from}</small></th>
        <td>${f.to ?? f.rows.join(", ")}</td>
        <td>${f.breaker ? html`${f.breaker}` : html`<${Field} path=${`feeds[${f.id}].fuse`} value=${f.fuse} label=${`Fuse of ${f.id}`} list="power-fuses" why=${`fuse of ${f.id}`} />`}<small>${figure(`power.feeds[${f.id}].fuse_a`, a(it.fuse_a))}</small></td>
        <td>${f.wire_path && f.wire !== null ? html`<${Field} path=${f.wire_path} value=${f.wire} label=${`Wire of ${f.id}`} list="power-wires" why=${`wire of ${f.id}`} />` : null}<small>${it.conductor ?? "–"}</small></td>
        <td class="n">${it.worst_rms_a === null ? "–" : figure(`power.feeds[${f.id}].worst_rms_a`, a(it.worst_rms_a))}</td>
        <td class="n">${it.worst_peak_a === null ? "–" : figure(`power.feeds[${f.id}].worst_peak_a`, a(it.worst_peak_a))}</td>
        <td class="n">${figure(`power.feeds[${f.id}].nameplate_a`, a(it.nameplate_a))}</td>
        <td class="n">${it.ampacity_a === null ? "–" : figure(`power.feeds[${f.id}].ampacity_a`, a(it.ampacity_a))}</td>
        <td class="n">${drop !== null ? figure(`power.circuits[${f.id}].drop_fraction`, `${(100 * drop).toFixed(1)} %`) : it.drop_v === null ? "–" : figure(`power.feeds[${f.id}].drop_v`, `${it.drop_v.toFixed(3)} V`)}</td>
        <td>${tick(verdictOf(report, f.id))}</td><td>${tick(fuse?.breaks)}</td><td>${tick(fuse?.selective)}</td></tr>`;
    })}</tbody></table></div>
    <p class="quiet">Carries is the corrected ampacity of the weakest wire behind the fuse. Protected: no wire behind it is overloaded or left to a short. First to open: before the fuse above, at every short.</p>
    <datalist id="power-fuses"><option value="auto"></option>${(drawn.value?.fuses ?? []).map((/** @type {string} */ v) => html`<option value=${v}></option>`)}</datalist>
    <datalist id="power-wires"><option value="auto"></option>${(drawn.value?.wires ?? []).map((/** @type {string} */ v) => html`<option value=${v}></option>`)}</datalist>`;
}

/** @param {{report: any, outputs: any[]}} props */
function Outputs({ report, outputs }) {
  const circuits = new Map(report.power.circuits.map((/** @type {any} */ c) => [c.id, c]));
  const found = report.power.outputs;
  return html`${found ? html`<p>${found.channels} channels on ${found.outputs} outputs of ${found.modules} of ${found.modules_fitted} modules; ${found.spared} outputs spared against one for each channel. ${found.proven ? "No better outputs exist." : html`At most ${figure("power.outputs.gap_fraction", `${(100 * found.gap_fraction).toFixed(2)} %`)} of the copper could be saved.`}</p>` : null}
    <div class="wide-table power-tall" tabindex="0" role="region" aria-label="Table of outputs"><table>
    <thead><tr><th scope="col">Output</th><th scope="col">To</th><th scope="col">Wire</th><th scope="col" class="n">Limit</th><th scope="col" class="n">Worst peak</th><th scope="col" class="n">Name-plate</th><th scope="col" class="n">Carries</th><th scope="col" class="n">Drop</th><th scope="col">Protected</th></tr></thead>
    <tbody>${outputs.map((o) => {
      const it = /** @type {any} */ (circuits.get(o.id));
      if (!it) return null;
      return html`<tr key=${o.id}><th scope="row">${o.id}</th><td>${o.rows.join(", ")}</td>
        <td>${o.wire_path && o.wire !== null ? html`<${Field} path=${o.wire_path} value=${o.wire} label=${`Wire of ${o.id}`} list="power-wires" why=${`wire of ${o.rows[0]}`} />` : null}<small>${it.conductor ?? "–"}</small></td>
        <td class="n">${it.limit_a === null ? "–" : figure(`power.circuits[${o.id}].limit_a`, a(it.limit_a))}</td>
        <td class="n">${it.worst_peak_a === null ? "–" : figure(`power.circuits[${o.id}].worst_peak_a`, a(it.worst_peak_a))}</td>
        <td class="n">${figure(`power.circuits[${o.id}].nameplate_a`, a(it.nameplate_a))}</td>
        <td class="n">${it.ampacity_a === null ? "–" : figure(`power.circuits[${o.id}].ampacity_a`, a(it.ampacity_a))}</td>
        <td class="n">${it.drop_fraction === null ? "–" : figure(`power.circuits[${o.id}].drop_fraction`, `${(100 * it.drop_fraction).toFixed(1)} %`)}</td>
        <td>${tick(verdictOf(report, o.id))}</td></tr>`;
    })}</tbody></table></div>`;
}

/** @param {{name: string, now: number, of: number, id: string, plate: string}} props */
function Bar({ name, now, of, id, plate }) {
  return html`<li><span class="axle-name">${name}</span>
    <span class="axle-bar"><span style=${{ width: `${of > 0 ? Math.min(100, (100 * now) / of) : 0}%` }}></span></span>
    <span class="axle-figure">${figure(id, a(now))} of ${figure(plate, a(of))}</span></li>`;
}

/** @param {{report: any}} props */
function Worst({ report }) {
  const { whole, modules, feeds, saved } = report.power;
  const heads = feeds.filter((/** @type {any} */ f) => f.worst_rms_a !== null && f.nameplate_a > 0);
  return html`${whole.worst_average_a === null ? html`<p class="quiet">No solver is installed: name-plate sums stand for the worst case.</p>` : html`
    <ul class="axle-bars" tabindex="0" aria-label="Worst beside name-plate">
      <${Bar} name="Whole, average" now=${whole.worst_average_a} of=${whole.nameplate_a} id="power.whole.worst_average_a" plate="power.whole.nameplate_a" />
      <${Bar} name="Whole, RMS" now=${whole.worst_rms_a} of=${whole.nameplate_a} id="power.whole.worst_rms_a" plate="power.whole.nameplate_a" />
      <${Bar} name="Whole, peak" now=${whole.worst_peak_a} of=${whole.nameplate_a} id="power.whole.worst_peak_a" plate="power.whole.nameplate_a" />
      ${modules.filter((/** @type {any} */ m) => m.nameplate_a > 0 && m.worst_peak_a !== null).map((/** @type {any} */ m) => html`<${Bar} key=${m.id} name=${`${m.id}, peak`} now=${m.worst_peak_a} of=${m.nameplate_a} id=${`power.modules[${m.id}].worst_peak_a`} plate=${`power.modules[${m.id}].nameplate_a`} />`)}
      ${heads.map((/** @type {any} */ f) => html`<${Bar} key=${f.id} name=${`${f.id}, RMS`} now=${f.worst_rms_a} of=${f.nameplate_a} id=${`power.feeds[${f.id}].worst_rms_a`} plate=${`power.feeds[${f.id}].nameplate_a`} />`)}
    </ul>
    <p class="quiet">Bars fill to the name-plate sum; the worst is the most over every reachable state, proven.${saved ? ` Against the name-plate sums it spares ${saved.fuse_sizes} fuse sizes, ${saved.wire_sizes} wire sizes and ${saved.modules} modules.` : ""}</p>`}`;
}

/** @param {{report: any}} props */
function Supply({ report }) {
  const { states, worst_running: worst, idle_output_a: idle } = report.power.supply;
  if (!states.length) return html`<p class="empty">No state is saved under <code>states:</code>.</p>`;
  const most = Math.max(...states.map((/** @type {any} */ s) => Math.max(s.average_a, s.output_a ?? 0)), 1);
  return html`<ul class="axle-bars">${states.map((/** @type {any} */ s) => {
      const id = `power.supply.states[${s.id}]`;
      return html`<li class=${s.margin_a !== null && s.margin_a < 0 ? "over" : ""}><span class="axle-name">${s.id}</span>
        <span class="axle-bar"><span style=${{ width: `${(100 * s.average_a) / most}%` }}></span>${s.output_a === null ? null : html`<i style=${{ left: `${(100 * s.output_a) / most}%` }}></i>`}</span>
        <span class="axle-figure">${figure(`${id}.average_a`, a(s.average_a))}${s.margin_a === null ? "" : html`, margin ${figure(`${id}.margin_a`, a(s.margin_a))}`}</span></li>`;
    })}</ul>
    <p class="quiet">The mark on each bar is what the hot alternator gives at that state's speed.${idle === null ? "" : html` Hot at idle it gives ${figure("power.supply.idle_output_a", a(idle))}.`}</p>
    ${worst ? html`<p>Worst state with the engine running: ${figure("power.supply.worst_running.worst_average_a", a(worst.worst_average_a))} of equipment and ${figure("power.supply.worst_running.base_a", a(worst.base_a))} of the vehicle; margin at idle ${worst.idle_margin_a === null ? "–" : figure("power.supply.worst_running.idle_margin_a", a(worst.idle_margin_a))}.</p>` : null}`;
}

/** @param {{report: any}} props */
function Day({ report }) {
  const { day_banks: banks, endurance } = report.power;
  if (!drawn.value?.day?.length) return html`<p class="empty">No working day is entered under <code>duty:</code>.</p>`;
  return html`<div class="power-sheet" tabindex="0" role="region" aria-label="Chart of the day" dangerouslySetInnerHTML=${{ __html: drawn.value.day.map((/** @type {any} */ d) => d.svg).join("") }}></div>
    ${banks.length ? html`<div class="wide-table" tabindex="0" role="region" aria-label="Banks over the day"><table><thead><tr><th scope="col">Bank</th><th scope="col" class="n">Lowest</th><th scope="col" class="n">Lowest voltage</th><th scope="col" class="n">At the end</th><th scope="col">Starts the engine then</th></tr></thead>
      <tbody>${banks.map((/** @type {any} */ b) => html`<tr><th scope="row">${b.id}</th><td class="n">${figure(`power.day_banks[${b.id}].lowest_ah`, `${b.lowest_ah.toFixed(0)} Ah`)}</td><td class="n">${figure(`power.day_banks[${b.id}].lowest_v`, `${b.lowest_v.toFixed(2)} V`)}</td><td class="n">${figure(`power.day_banks[${b.id}].end_ah`, `${b.end_ah.toFixed(0)} Ah`)}</td><td>${tick(b.cranks)}</td></tr>`)}</tbody></table></div>` : null}
    <p>Engine off ${endurance.engine_off_h === null ? "–" : figure("power.endurance.engine_off_h", `${endurance.engine_off_h.toFixed(1)} h`)}; key off ${endurance.key_off_days === null ? "–" : figure("power.endurance.key_off_days", `${endurance.key_off_days.toFixed(0)} days`)} to no start; recharge ${endurance.recharge_h === null ? "–" : figure("power.endurance.recharge_h", `${endurance.recharge_h.toFixed(1)} h`)}.</p>`;
}

/** @param {{feeds: any[]}} props */
function ChainChart({ feeds }) {
  return html`<label class="body-choice">Fuse <select value=${chained.value} onChange=${(/** @type {any} */ e) => { chained.value = e.target.value; }}>${feeds.map((f) => html`<option value=${f.id}>${f.id}</option>`)}</select></label>
    ${chart.value ? html`<div class="power-sheet" tabindex="0" role="region" aria-label="Time-current chart" dangerouslySetInnerHTML=${{ __html: chart.value.svg }}></div>` : html`<p class="quiet">working…</p>`}
    <p class="quiet">Each band is a fuse between its fast and its slow gate; the lower one should stand left of the one above. Damage of the wire must stand right of the lower band down to the far-end short.</p>`;
}

function Line() {
  return html`${(drawn.value?.one_line ?? []).map((/** @type {any} */ p) => html`<div key=${p.title} class="power-sheet" tabindex="0" role="region" aria-label=${p.title} dangerouslySetInnerHTML=${{ __html: p.svg }}></div>`)}`;
}

/** @param {{report: any}} props */
function Bundles({ report }) {
  const { bundles } = report.power;
  /** @param {number | null} m */
  const size = (m) => (m === null ? "–" : drawn.value?.units === "us" ? `${(m / 0.0254).toFixed(2)} in` : `${(1000 * m).toFixed(1)} mm`);
  if (!bundles.length) return html`<p class="empty">No wire takes a run of the vehicle.</p>`;
  return html`<div class="wide-table power-tall" tabindex="0" role="region" aria-label="Table of bundles"><table><thead><tr><th scope="col">Run</th><th scope="col">Area</th><th scope="col" class="n">Wires</th><th scope="col" class="n">Loaded at once</th><th scope="col" class="n">Outside</th><th scope="col" class="n">Loom</th><th scope="col" class="n">Hole</th><th scope="col" class="n">Fill</th></tr></thead>
    <tbody>${bundles.map((/** @type {any} */ b) => html`<tr class=${b.hole_m !== null && b.outside_m > b.hole_m ? "over" : ""}><th scope="row">${b.id}</th><td>${b.area}</td><td class="n">${b.conductors}</td><td class="n">${b.loaded}</td><td class="n">${figure(`power.bundles[${b.id}].outside_m`, size(b.outside_m))}</td><td class="n">${b.loom_m === null ? "–" : figure(`power.bundles[${b.id}].loom_m`, size(b.loom_m))}</td><td class="n">${size(b.hole_m)}</td><td class="n">${b.fill_fraction === null ? "–" : figure(`power.bundles[${b.id}].fill_fraction`, `${(100 * b.fill_fraction).toFixed(0)} %`)}</td></tr>`)}</tbody></table></div>`;
}

/** @param {string} id @param {any} what */
function put(id, what) {
  const place = document.getElementById(id);
  if (!place) return;
  if (place.firstElementChild?.textContent === "working…" && !place.dataset.live) place.textContent = "";
  place.dataset.live = "yes";
  render(what, place);
}

/** The last report that was whole: shown, dimmed, while new figures are worked out. @type {any} */
let last = null;
let drawnFor = "";

async function draw() {
  const now = bench.current.value;
  if (!now || now.errors.length || now.stage !== "whole" || now.text_digest === drawnFor) return;
  drawnFor = now.text_digest;
  const { status, data } = await ask("GET", `${bench.at}/power`);
  if (status !== 200) { drawnFor = ""; return; }
  drawn.value = data;
  if (!data.feeds.some((/** @type {any} */ f) => f.id === chained.value)) chained.value = data.feeds[0]?.id ?? "";
}

let chartFor = "";
async function drawChart() {
  const feed = chained.value;
  const digest = drawn.value?.text_digest ?? "";
  if (!feed || !digest || chartFor === `${feed} ${digest}`) return;
  chartFor = `${feed} ${digest}`;
  const { status, data } = await ask("GET", `${bench.at}/power/chain?feed=${encodeURIComponent(feed)}`);
  if (status === 200 && chartFor === `${feed} ${digest}`) chart.value = data;
}

effect(() => { bench.current.value; draw(); });
effect(() => { chained.value; drawn.value; drawChart(); });
effect(() => {
  const now = bench.current.value;
  if (now?.report?.power && now.stage === "whole") last = now.report;
  page.classList.toggle("body-stale", !(now?.stage === "whole" && drawn.value?.text_digest === now.text_digest) && last !== null);
  const seen = [chart.value, chained.value, refused.value];
  if (last === null || !drawn.value || seen.length === 0) return;
  const { feeds, outputs } = drawn.value;
  put("power-feeds", html`<${Feeds} report=${last} feeds=${feeds} />`);
  put("power-worst", html`<${Worst} report=${last} />`);
  put("power-supply", html`<${Supply} report=${last} />`);
  put("power-chain", html`<${ChainChart} feeds=${feeds} />`);
  put("power-day", html`<${Day} report=${last} />`);
  put("power-outputs", html`<${Outputs} report=${last} outputs=${outputs} />`);
  put("power-line", html`<${Line} />`);
  put("power-bundles", html`<${Bundles} report=${last} />`);
});
