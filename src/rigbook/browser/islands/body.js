// The body page: axles, balance, faces to arrange, lids through their swing, mounts, heat; live with the build's figures.
import { effect, signal } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { benchOf } from "./bench.js";
import { Figure } from "./explain.js";
import { Faces } from "./faces.js";
import { Lids } from "./lids.js";

const html = htm.bind(h);
const bench = benchOf();
const page = /** @type {HTMLElement} */ (document.getElementById("body-page"));
const sizes = JSON.parse(page.dataset.sizes ?? "{}");
const us = sizes.units === "us";
const chosen = signal("laden");

/** @param {number} kg */
const mass = (kg) => `${Math.round(us ? kg / 0.45359237 : kg)} ${us ? "lb" : "kg"}`;
/** @param {number} m */
const length = (m) => (us ? `${(m / 0.0254).toFixed(1)} in` : `${Math.round(1000 * m)} mm`);
/** @param {number} c */
const warmth = (c) => (us ? `${Math.round(c * 1.8 + 32)} °F` : `${Math.round(c)} °C`);
/** @param {string} id @param {any} children */
const figure = (id, children) => html`<${Figure} at=${bench.at} id=${id}>${children}<//>`;

/** @param {{body: any}} props */
function Axles({ body }) {
  return html`${body.axles.map((/** @type {any} */ axle) => html`
    <h3>${axle.id} axle, rated ${figure(`body.axles[${axle.id}].rating_kg`, mass(axle.rating_kg))}${axle.tyre_kg === null ? "" : html`, tyres ${figure(`body.axles[${axle.id}].tyre_kg`, mass(axle.tyre_kg))}`}</h3>
    <ul class="axle-bars">${body.cases.map((/** @type {any} */ c) => {
      const load = c[`${axle.id}_kg`];
      const share = Math.max(0, load / axle.rating_kg);
      return html`<li class=${share > 1 ? "over" : ""}><span class="axle-name">${c.title}</span>
        <span class="axle-bar"><span style=${{ width: `${Math.min(share / 1.15, 1) * 100}%` }}></span><i style=${{ left: `${100 / 1.15}%` }}></i></span>
        <span class="axle-figure">${share > 1 ? "✕" : "✓"} ${figure(`body.cases[${c.id}].${axle.id}_kg`, mass(load))} · ${Math.round(100 * share)} %</span></li>`;
    })}</ul>`)}
    <p class="quiet">The mark on each bar is the rating of the axle.</p>
    ${body.wheels.length ? html`<div class="wide-table" tabindex="0" role="region" aria-label="Wheels"><table><caption>Wheels, laden</caption><thead><tr><th scope="col">Wheel</th><th scope="col" class="n">Load</th><th scope="col">How</th></tr></thead>
      <tbody>${body.wheels.map((/** @type {any} */ w) => html`<tr><th scope="row">${w.id.replace("-", " ")}</th><td class="n">${figure(`body.wheels[${w.id}].load_kg`, mass(w.load_kg))}</td><td>${w.how}</td></tr>`)}</tbody></table></div>` : null}
    ${body.weighed ? html`<p>On the scales: ${figure("body.weighed.mass_kg", mass(body.weighed.mass_kg))}, ${figure("body.weighed.residual_kg", mass(body.weighed.residual_kg))} beside the arithmetic; all figures go by the scales.</p>` : null}
    ${body.label?.due ? html`<p><b>A load-capacity label is due:</b> ${body.label.lines.join(" ")}</p>` : html`<p>No load-capacity label is due: ${figure("body.added_kg", mass(body.added_kg))} added, ${figure("body.added_threshold_kg", mass(body.added_threshold_kg))} is the threshold.</p>`}`;
}

/** The quartered circle of a centre of gravity, or a ring. @param {number} x @param {number} y @param {boolean} own @param {string} key */
function cg(x, y, own, key) {
  const r = 9;
  if (!own) return html`<circle key=${key} class="cg-other" cx=${x} cy=${y} r="6" />`;
  return html`<g key=${key} class="cg" transform=${`translate(${x} ${y})`}><circle r=${r} /><path d=${`M0 0L${r} 0A${r} ${r} 0 0 1 0 ${r}ZM0 0L${-r} 0A${r} ${r} 0 0 1 0 ${-r}Z`} /><path class="cg-cross" d="M-15 0H15M0 -15V15" /></g>`;
}

/** @param {{body: any, of: string, title: string, top: number, high: number, at: (c: any) => [number, number], axles?: any[]}} props */
function View({ body, of, title, top, high, at, axles }) {
  const left = -100 * sizes.front - 10;
  const shapes = document.getElementById(of)?.innerHTML ?? "";
  return html`<svg class="drawing balance-view" viewBox=${`${left} ${top} ${100 * sizes.length + 20} ${high}`} role="img" aria-label=${`${title}: centre of gravity in ${body.cases.length} loadings`}>
    <g class="vehicle" dangerouslySetInnerHTML=${{ __html: shapes }}></g>
    ${(axles ?? []).map((a) => html`<g class="axle-load" transform=${`translate(${a.id === "front" ? 0 : 100 * sizes.wheelbase} 6)`}><path d="M0 26V4M-6 12L0 2L6 12" /><text x="9" y="24">${mass(a.load)}</text></g>`)}
    ${body.cases.filter((/** @type {any} */ c) => c.id !== chosen.value).map((/** @type {any} */ c) => cg(...at(c), false, c.id))}
    ${body.cases.filter((/** @type {any} */ c) => c.id === chosen.value).map((/** @type {any} */ c) => cg(...at(c), true, c.id))}
  </svg>`;
}

/** @param {{body: any}} props */
function Balance({ body }) {
  const own = body.cases.find((/** @type {any} */ c) => c.id === chosen.value) ?? body.cases[0];
  const id = `body.cases[${own.id}]`;
  return html`<label class="body-choice">Loading <select value=${own.id} onChange=${(/** @type {any} */ e) => { chosen.value = e.target.value; }}>${body.cases.map((/** @type {any} */ c) => html`<option value=${c.id}>${c.title}</option>`)}</select></label>
    <${View} body=${body} of="side-outline" title="Left side" top=${-100 * sizes.height - 8} high=${100 * sizes.height + 48} at=${(/** @type {any} */ c) => [100 * c.cg.x_m, -100 * c.cg.z_m]} axles=${[{ id: "front", load: own.front_kg }, { id: "rear", load: own.rear_kg }]} />
    <${View} body=${body} of="plan-outline" title="Plan" top=${-50 * sizes.width - 30} high=${100 * sizes.width + 60} at=${(/** @type {any} */ c) => [100 * c.cg.x_m, -100 * c.cg.y_m]} />
    <dl class="body-facts">
      <dt>Mass</dt><dd>${figure(`${id}.mass_kg`, mass(own.mass_kg))}, margin ${figure(`${id}.margin_kg`, mass(own.margin_kg))}</dd>
      <dt>Centre of gravity</dt><dd>${figure(`${id}.cg.x_m`, length(own.cg.x_m))} back, ${figure(`${id}.cg.y_m`, length(own.cg.y_m))} right, ${figure(`${id}.cg.z_m`, length(own.cg.z_m))} up</dd>
      <dt>Left share</dt><dd>${figure(`${id}.left_share`, `${(100 * own.left_share).toFixed(1)} %`)}; front axle ${figure(`${id}.front_share`, `${(100 * own.front_share).toFixed(1)} %`)}</dd>
      <dt>Stability factor</dt><dd>${figure(`${id}.stability_factor`, own.stability_factor.toFixed(3))}, as delivered ${figure("body.curb_stability_factor", body.curb_stability_factor.toFixed(3))}</dd>
      <dt>Rigid tilt</dt><dd>${figure(`${id}.tilt_deg`, `${own.tilt_deg.toFixed(1)} deg`)}; a real vehicle tips 10 to 20 % earlier (common practice)</dd>
      ${own.rollover_share === null ? null : html`<dt>Published curve</dt><dd>${figure(`${id}.rollover_share`, `${(100 * own.rollover_share).toFixed(1)} %`)} risk in a single-vehicle crash (from memory; a before-and-after indicator)</dd>`}
    </dl>
    <p class="quiet">The quartered circle is the loading chosen, rings are the others. x back from the front axle, y to the right of the middle, z up from the ground.</p>`;
}

/** @param {{body: any}} props */
function Mounts({ body }) {
  if (body.mounts.length === 0) return html`<p class="empty">No joint is on record under <code>mounts:</code> in the build.</p>`;
  return html`<div class="wide-table" tabindex="0" role="region" aria-label="Table of mounts"><table>
    <thead><tr><th scope="col">Joint</th><th scope="col">Bolts</th><th scope="col" class="n">Load</th><th scope="col" class="n">Carries</th><th scope="col" class="n">Reserve</th><th scope="col">Weakest link</th><th scope="col" class="n">Torque</th></tr></thead>
    <tbody>${body.mounts.map((/** @type {any} */ m) => html`<tr><th scope="row">${m.id}<small>${m.holds.join(", ")}</small></th><td>${m.bolts} × ${m.bolt}</td>
      <td class="n">${m.load_n === null ? "–" : figure(`body.mounts[${m.id}].load_n`, `${Math.round(m.load_n)} N`)}</td><td class="n">${m.capacity_n === null ? "–" : figure(`body.mounts[${m.id}].capacity_n`, `${Math.round(m.capacity_n)} N`)}</td>
      <td class="n">${m.reserve === null ? "–" : html`${m.reserve < 0 ? "✕" : "✓"} ${figure(`body.mounts[${m.id}].reserve`, `${Math.round(100 * m.reserve)} %`)}`}</td><td>${m.weakest ?? "not worked out"}${m.worst ? `, ${m.worst}` : ""}</td>
      <td class="n">${figure(`body.mounts[${m.id}].torque_n_m`, us ? `${(m.torque_n_m / 1.3558179).toFixed(1)} lbf ft` : `${m.torque_n_m.toFixed(1)} N m`)}</td></tr>`)}</tbody></table></div>
    ${body.recalibrate.length ? html`<p>To recalibrate: ${body.recalibrate.map((/** @type {any} */ r) => `${r.sensor} (${r.because_of})`).join(", ")}.</p>` : null}`;
}

/** @param {{body: any}} props */
function Heat({ body }) {
  return html`${body.heat.length === 0 ? html`<p class="empty">No enclosure is on record under <code>enclosures:</code> in the build.</p>` : html`<div class="wide-table" tabindex="0" role="region" aria-label="Heat"><table>
      <thead><tr><th scope="col">Enclosure</th><th scope="col">Warmest stretch</th><th scope="col" class="n">Heat</th><th scope="col" class="n">Around</th><th scope="col" class="n">Inside</th><th scope="col" class="n">Limit</th></tr></thead>
      <tbody>${body.heat.map((/** @type {any} */ e) => html`<tr><th scope="row">${e.id}</th><td>${e.stretch ?? "at its most"}</td><td class="n">${figure(`body.heat[${e.id}].heat_w`, `${Math.round(e.heat_w)} W`)}</td><td class="n">${warmth(e.ambient_c)}</td>
        <td class="n">${e.inside_c > e.limit_c ? "✕" : "✓"} ${figure(`body.heat[${e.id}].inside_c`, warmth(e.inside_c))}</td><td class="n">${warmth(e.limit_c)}</td></tr>`)}</tbody></table></div>`}
    ${body.shelves.length === 0 ? null : html`<div class="wide-table" tabindex="0" role="region" aria-label="Shelves and drawers"><table><caption>Shelves and drawers</caption>
      <thead><tr><th scope="col">Shelf or drawer</th><th scope="col" class="n">Load</th><th scope="col" class="n">Rating</th><th scope="col" class="n">Sag</th><th scope="col" class="n">Room above what stands below</th></tr></thead>
      <tbody>${body.shelves.map((/** @type {any} */ s) => html`<tr><th scope="row">${s.id}</th><td class="n">${figure(`body.shelves[${s.id}].load_kg`, mass(s.load_kg))}</td><td class="n">${s.rating_kg === null ? "–" : mass(s.rating_kg)}</td>
        <td class="n">${s.sag_m === null ? "–" : figure(`body.shelves[${s.id}].sag_m`, us ? `${(s.sag_m / 0.0254).toFixed(3)} in` : `${(1000 * s.sag_m).toFixed(2)} mm`)}</td><td class="n">${s.clearance_m === null ? "–" : figure(`body.shelves[${s.id}].clearance_m`, length(s.clearance_m))}</td></tr>`)}</tbody></table></div>`}`;
}

const PARTS = /** @type {[string, (p: any) => any][]} */ ([["axles", Axles], ["balance", Balance], ["mounts", Mounts], ["heat", Heat], ["faces", Faces], ["lids", Lids]]);
const given = { bench, length, figure, readOnly: page.dataset.readOnly === "yes", lidShapes: JSON.parse(page.dataset.lids ?? "{}"), faceSheets: JSON.parse(page.dataset.faces ?? "{}") };

/** The last figures that were whole: shown, dimmed, while new ones are worked out. @type {any} */
let last = null;

effect(() => {
  const now = bench.current.value;
  const body = now?.report?.body;
  const choice = chosen.value;
  if (body?.cases) last = body;
  page.classList.toggle("body-stale", !body && last !== null);
  if (last === null) return;
  for (const wait of document.querySelectorAll("#body-page section > div > p.quiet:only-child")) if (wait.textContent === "working…") wait.remove();
  const findings = now?.findings ?? [];
  for (const [id, Part] of PARTS) {
    const place = document.getElementById(id);
    if (place) render(html`<${Part} body=${last} findings=${findings} choice=${choice} ...${given} />`, place);
  }
});
