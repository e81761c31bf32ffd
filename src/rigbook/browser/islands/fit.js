// The Fit page: what is installed as a table edited in place, the drawing beside it, one selection in both.
import { computed, effect, signal } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { ask, benchOf } from "./bench.js";
import { Catalogue } from "./catalogue.js";
import { Figure } from "./explain.js";

const html = htm.bind(h);
const bench = benchOf();
const host = /** @type {HTMLElement} */ (document.getElementById("fit"));
const drawing = /** @type {HTMLElement} */ (document.getElementById("fit-drawing"));
const side = /** @type {HTMLElement} */ (document.getElementById("chosen"));
const readOnly = host.dataset.readOnly === "yes";

const SECTIONS = {
  install: { title: "Fitted", empty: "Nothing is fitted yet. Add a controller first, then lamps: each takes an output of it.", key: "id", columns: ["part", "place", "tags", "outputs", "feed", "wire"] },
  feeds: { title: "Feeds", empty: "No feed yet. A feed is a fused line from a battery to what it powers; a controller needs one.", key: "id", columns: ["from", "to", "fuse", "wire", "live_when"] },
  links: { title: "Links", empty: "No conductor between batteries.", key: "id", columns: ["from", "to", "through", "fuse"] },
  batteries: { title: "Batteries", empty: "No battery beside the vehicle's own.", key: "id", columns: ["part", "count", "place", "node"] },
  clauses: { title: "Clauses", empty: "No clause of the customer's specification yet. Each says what was asked and names what meets it.", key: "id", columns: ["text", "answer", "met_by", "note"] },
  states: { title: "Saved states", empty: "No saved state yet. A state names where the switches stand, for tables, papers and the Vehicle page.", key: "id", columns: ["title", "set", "rpm"] },
  kit: { title: "Loose kit", empty: "No loose equipment entered.", key: "id", columns: ["mass", "at"] },
};
const DEFAULTS = {
  feeds: { from: "battery.starter", fuse: "auto" }, links: { from: "battery.starter", to: "battery.auxiliary", fuse: { start: "auto", end: "auto" } },
  batteries: { part: "", place: "", node: "" }, clauses: { text: "As the customer wrote it", answer: "as asked", met_by: [] },
  states: { title: "State", set: {} }, kit: { mass: "1 kg", at: ["1 m", "0 m", "1 m"] },
};
const LISTS = { part: "parts", place: "places", feed: "feeds", sense_feed: "feeds", controller: "install", ground: "grounds", area: "areas", node: "nodes", to: "install", through: "install", amplifier: "install", antenna: "install" };
const TYPICAL = { place: "grille-left", at: "[0.5 m, -0.3 m, 0.9 m]", along: "{from: [4.9 m, -0.4 m, 2.6 m], to: [4.9 m, 0.4 m, 2.6 m], count: 8}", on: "{panel: console-face}", facing: "180 deg", tilt: "0 deg", tags: "[warning, front-row]", outputs: "auto, or {blue: control.3}", feed: "main", wire: "auto, or 14 AWG", fuse: "auto, or 10 A", live_when: "ignition == run", drop: "critical", starts_after: "1 s", from: "battery.starter", met_by: "[warning]", set: "{response: on-scene}", rpm: "700", mass: "12 kg", head: "{panel: console-face}" };

const section = signal(/** @type {keyof typeof SECTIONS} */ (new URLSearchParams(location.search).get("section") ?? "install"));
if (!(section.value in SECTIONS)) section.value = "install";
const selected = signal(new URLSearchParams(location.search).get("row") ?? "");
const filter = signal("");
const adding = signal(false);
const refused = signal("");
const names = signal(/** @type {Record<string, string[]>} */ ({}));
const fields = signal(/** @type {Record<string, any[]>} */ ({}));
/** Rows of the last text that could be read: what is edited is the text, so rows stay while figures are worked out. */
const rows = computed(() => bench.figures.value?.written?.[section.value] ?? null);
const shown = computed(() => (rows.value ?? []).filter((/** @type {any} */ r) => !filter.value || JSON.stringify(r).toLowerCase().includes(filter.value.toLowerCase())));
const row = computed(() => (rows.value ?? []).find((/** @type {any} */ r) => r.id === selected.value) ?? null);

/** @param {string} id */
const path = (id) => `${section.value}[${id}]`;
/** @param {string} value */
const isFragment = (value) => /^[[{]/.test(value.trim());

/** @param {string} id @param {string} key @param {string} value */
async function put(id, key, value) {
  const trimmed = value.trim();
  const operation = trimmed === "" ? { do: "clear", path: `${path(id)}.${key}` } : { do: "set", path: `${path(id)}.${key}`, value: trimmed, fragment: isFragment(trimmed) };
  const { ok, says } = await bench.edit([operation], `${key} of ${id}`);
  refused.value = ok ? "" : says;
  if (ok && key === "id") selected.value = trimmed;
  return ok;
}

/** @param {string} wanted */
function free(wanted) {
  const taken = new Set((rows.value ?? []).map((/** @type {any} */ r) => r.id));
  if (!taken.has(wanted)) return wanted;
  const [, stem, between] = /^(.*?)([-.])?\d*$/.exec(wanted) ?? ["", wanted, "-"];
  let n = 2;
  while (taken.has(`${stem}${between ?? "-"}${n}`)) n += 1;
  return `${stem}${between ?? "-"}${n}`;
}

/** @param {string} id */
async function duplicate(id) {
  const made = free(id.replace(/-\d+$/, ""));
  const { ok, says } = await bench.edit([{ do: "duplicate", path: path(id), new_id: made }], `duplicate ${id}`);
  refused.value = ok ? "" : says;
  if (ok) selected.value = made;
}

/** @param {string} id */
async function remove(id) {
  const { ok, says } = await bench.edit([{ do: "remove", path: path(id) }], `remove ${id}`);
  refused.value = ok ? "" : says;
  if (ok && selected.value === id) selected.value = "";
}

/** @param {string} id @param {number} by */
async function move(id, by) {
  const at = (rows.value ?? []).findIndex((/** @type {any} */ r) => r.id === id);
  const to = at + by;
  if (to < 0 || to >= rows.value.length) return;
  const { ok, says } = await bench.edit([{ do: "move", path: path(id), to }], `move ${id}`);
  refused.value = ok ? "" : says;
}

async function addRow() {
  const made = free(section.value === "clauses" ? "1.1" : `${section.value.replace(/s$/, "")}-1`);
  const { ok, says } = await bench.edit([{ do: "append", path: section.value, value: { id: made, .../** @type {any} */ (DEFAULTS)[section.value] } }], `add ${made}`);
  refused.value = ok ? "" : says;
  if (ok) selected.value = made;
}

function Cell({ id, name, value, hint }) {
  const list = /** @type {any} */ (LISTS)[name];
  return html`<input class="cell" defaultValue=${value ?? ""} aria-label=${`${name} of ${id}`} placeholder=${hint || "–"} title=${value ?? hint ?? ""} disabled=${readOnly} list=${list ? `names-${list}` : undefined}
    onKeyDown=${(/** @type {any} */ e) => { if (e.key === "Enter") e.target.blur(); if (e.key === "Escape") { e.target.value = value ?? ""; e.target.blur(); } }}
    onChange=${async (/** @type {any} */ e) => { if (e.target.value.trim() !== (value ?? "")) { const ok = await put(id, name, e.target.value); if (!ok) e.target.value = value ?? ""; } }} />`;
}

/** @param {string} id */
const select = (id) => { selected.value = selected.value === id ? "" : id; };

function Table() {
  const about = SECTIONS[section.value];
  if (!rows.value) return html`<p class="quiet">Loading…</p>`;
  if (!rows.value.length) return html`<p class="empty">${about.empty}</p>`;
  const install = section.value === "install";
  const worked = bench.current.value?.worked;
  const fact = (/** @type {any} */ r, /** @type {string} */ key) => {
    if (!bench.current.value) return html`<em class="quiet">working…</em>`;
    const found = worked?.[r.id];
    if (!found) return html`<span class="quiet">–</span>`;
    const value = found[key];
    return Array.isArray(value) ? value.join(", ") || html`<span class="quiet">–</span>` : value ?? html`<span class="quiet">–</span>`;
  };
  const said = (/** @type {any} */ r, /** @type {string} */ c) => {
    const key = /** @type {any} */ ({ outputs: "outputs", wire: "wires", feed: "feeds" })[c];
    const found = key && worked?.[r.id]?.[key];
    return Array.isArray(found) ? found.join(", ") : "";
  };
  return html`<div class="table-wrap"><table class=${`fit-table fit-${section.value}`}><thead><tr><th scope="col">id</th>${about.columns.map((c) => html`<th scope="col">${c.replace("_", " ")}</th>`)}
      ${install ? html`<th scope="col">fuse</th><th scope="col" class="n">A</th><th scope="col" class="n">price</th>` : null}</tr></thead>
    <tbody>${shown.value.map((/** @type {any} */ r) => html`<tr key=${r.id} class=${r.id === selected.value ? "chosen" : ""} data-row=${r.id}>
      <th scope="row"><button class="link" aria-pressed=${r.id === selected.value ? "true" : "false"} onClick=${() => select(r.id)}>${r.id}</button></th>
      ${about.columns.map((c) => html`<td data-label=${c.replace("_", " ")}>${c === "place" && !r.place && (r.at || r.along || r.on) ? html`<span class="quiet">${r.at || r.along || r.on}</span>` : html`<${Cell} key=${`${r.id} ${c} ${r[c] ?? ""}`} id=${r.id} name=${c} value=${r[c]} hint=${install ? said(r, c) : ""} />`}${install && r[c] !== undefined && said(r, c) && said(r, c) !== r[c] ? html`<span class="worked-out">${said(r, c)}</span>` : null}</td>`)}
      ${install ? html`<td data-label="fuse">${fact(r, "fuses")}</td><td data-label="A" class="n">${fact(r, "current_a")}</td><td data-label="price" class="n">${fact(r, "price")}</td>` : null}
    </tr>`)}</tbody></table></div>${shown.value.length ? null : html`<p class="empty">Nothing here holds “${filter.value}”.</p>`}`;
}

/** What its circuits come to, each figure with its hand calculation. */
function Circuits({ ids, devices }) {
  const circuits = (bench.current.value?.report?.power?.circuits ?? []).filter((/** @type {any} */ c) => ids.includes(c.id) && c.devices.some((/** @type {any} */ d) => devices.includes(d.id)));
  if (!circuits.length) return null;
  const figure = (/** @type {any} */ c, /** @type {string} */ key, /** @type {string} */ unit) => typeof c[key] === "number" ? html`<${Figure} at=${bench.at} id=${`power.circuits[${c.id}].${key}`}>${Number(c[key].toPrecision(3))} ${unit}<//>` : "–";
  return html`<ul class="circuits" aria-label="Circuits">${circuits.map((/** @type {any} */ c) => html`<li><b>${c.id}</b> ${c.conductor ?? ""} · worst ${figure(c, "worst_average_a", "A")} of ${figure(c, "ampacity_a", "A")} · drop ${figure(c, "drop_v", "V")}</li>`)}</ul>`;
}

function Chosen() {
  const r = row.value;
  if (!r) return html`<p class="quiet">Choose a row, or a lamp on the drawing: all its fields stand here, with findings about it.</p>`;
  const known = fields.value[section.value] ?? [];
  const worked = section.value === "install" ? bench.current.value?.worked?.[r.id] : null;
  const ids = new Set([r.id, ...(worked?.devices ?? [])]);
  const about = (bench.current.value?.findings ?? []).filter((/** @type {any} */ f) => f.severity !== "note" && f.subject.split(/[.\s:]/).concat(f.subject).some((/** @type {string} */ s) => ids.has(s)));
  return html`<div class="chosen-head"><h2>${r.id}</h2>${worked ? html`<p class="quiet">${worked.title}</p>` : null}</div>
    <p class="row-hands"><button class="button small" disabled=${readOnly} onClick=${() => duplicate(r.id)}>Duplicate</button>
      <button class="button small" disabled=${readOnly} onClick=${() => move(r.id, -1)}>Up</button><button class="button small" disabled=${readOnly} onClick=${() => move(r.id, 1)}>Down</button>
      <button class="button small" disabled=${readOnly} onClick=${() => remove(r.id)}>Remove</button></p>
    ${about.map((/** @type {any} */ f) => html`<p class=${`about about-${f.severity}`}><b>${f.severity}</b> ${f.says}</p>`)}
    <${Circuits} ids=${[...(worked?.outputs ?? []), ...(worked?.feeds ?? [])]} devices=${worked?.devices ?? []} />
    ${known.map((f) => html`<div class="field" key=${`${r.id} ${f.key} ${r[f.key] ?? ""}`}><label for=${`field-${f.key}`}>${f.key}${f.needed ? " (needed)" : ""}</label>
      <input id=${`field-${f.key}`} defaultValue=${r[f.key] ?? ""} disabled=${readOnly} aria-describedby=${`about-${f.key}`} list=${/** @type {any} */ (LISTS)[f.key] ? `names-${/** @type {any} */ (LISTS)[f.key]}` : undefined}
        onKeyDown=${(/** @type {any} */ e) => { if (e.key === "Enter") e.target.blur(); }}
        onChange=${async (/** @type {any} */ e) => { if (e.target.value.trim() !== (r[f.key] ?? "")) { const ok = await put(r.id, f.key, e.target.value); if (!ok) e.target.value = r[f.key] ?? ""; } }} />
      <p class="quiet" id=${`about-${f.key}`}>${f.about} ${f.value}.${f.default ? ` Left out: ${f.default}.` : ""}${/** @type {any} */ (TYPICAL)[f.key] ? ` Such as ${/** @type {any} */ (TYPICAL)[f.key]}` : ""}</p></div>`)}`;
}

function Clauses() {
  if (section.value !== "clauses" || !bench.current.value) return null;
  const open = bench.current.value.clauses.filter((/** @type {any} */ c) => !c.met_by.length || c.met_by.some((/** @type {any} */ m) => !m.known));
  return html`<p class="quiet">${bench.current.value.clauses.length} clauses; ${open.length ? html`not met by anything known: ${open.map((/** @type {any} */ c) => c.id).join(", ")}` : "each names what meets it"}.</p>`;
}

function Page() {
  return html`<div class="fit-hands">
      <div class="segments" role="group" aria-label="Section">${Object.entries(SECTIONS).map(([k, v]) => html`<button class="segment" aria-pressed=${section.value === k ? "true" : "false"} onClick=${() => { section.value = /** @type {any} */ (k); selected.value = ""; filter.value = ""; refused.value = ""; loadFields(); }}>${v.title}${bench.figures.value?.written?.[k]?.length ? html` <span class="count">${bench.figures.value.written[k].length}</span>` : null}</button>`)}</div>
      <div class="fit-tools"><input class="filter" type="search" placeholder="Filter rows" aria-label="Filter rows" value=${filter.value} onInput=${(/** @type {any} */ e) => { filter.value = e.target.value; }} />
      ${readOnly ? null : section.value === "install" ? html`<button class="button first" id="add-part" onClick=${() => { adding.value = !adding.value; }}>${adding.value ? "Close the catalogue" : "Add from the catalogue"}</button>` : html`<button class="button first" id="add-row" onClick=${addRow}>Add a row</button>`}</div></div>
    ${refused.value ? html`<p class="refused" role="alert">${refused.value}</p>` : null}
    ${adding.value && section.value === "install" ? html`<${Catalogue} places=${names.value.places ?? []} free=${free} onAdd=${add} />` : null}
    <${Clauses} />
    <section class="fit-rows" aria-label=${SECTIONS[section.value].title}><${Table} /></section>
    ${Object.entries(names.value).filter(([k]) => ["parts", "places", "feeds", "install", "grounds", "areas", "nodes"].includes(k)).map(([k, v]) => html`<datalist id=${`names-${k}`}>${v.map((n) => html`<option value=${n}></option>`)}</datalist>`)}`;
}

/** @param {string} part @param {string} id @param {string} place */
async function add(part, id, place) {
  const where = isFragment(place) ? null : { place };
  const operations = [{ do: "append", path: "install", value: { id, part, ...(where ?? { place: "here" }) } }];
  if (!where) operations.push(/** @type {any} */ ({ do: "clear", path: `install[${id}].place` }), /** @type {any} */ ({ do: "set", path: `install[${id}].at`, value: place, fragment: true }));
  const { ok, says } = await bench.edit(operations, `add ${id}`);
  if (ok) selected.value = id;
  return ok ? "" : says;
}

async function loadFields() {
  const name = section.value;
  if (fields.value[name]) return;
  const { status, data } = await ask("GET", `/api/schema/${name}`);
  if (status === 200) fields.value = { ...fields.value, [name]: data };
}

let drawnFor = "";
async function draw() {
  const now = bench.current.value;
  if (!now || now.errors.length || now.text_digest === drawnFor || now.stage !== "whole") return;
  drawnFor = now.text_digest;
  const { status, data } = await ask("GET", `${bench.at}/views`);
  if (status !== 200) return;
  drawing.innerHTML = data.views.join("");
  mark();
}

function mark() {
  const devices = bench.figures.value?.worked?.[selected.value]?.devices ?? [];
  for (const lamp of drawing.querySelectorAll(".lamp")) lamp.classList.toggle("chosen", devices.includes(/** @type {any} */ (lamp).dataset.device));
}

drawing.addEventListener("click", (event) => {
  const lamp = /** @type {Element} */ (event.target).closest?.(".lamp");
  if (!lamp) return;
  const device = /** @type {any} */ (lamp).dataset.device;
  const found = Object.entries(bench.figures.value?.worked ?? {}).find(([, w]) => /** @type {any} */ (w).devices.includes(device));
  if (!found) return;
  section.value = "install";
  filter.value = "";
  selected.value = found[0];
  loadFields();
  requestAnimationFrame(() => host.querySelector("tr.chosen")?.scrollIntoView({ block: "nearest" }));
});

host.textContent = "";
side.textContent = "";
effect(() => { render(html`<${Page} />`, host); });
effect(() => { render(html`<${Chosen} />`, side); });
effect(() => { selected.value; bench.figures.value; mark(); });
effect(() => { bench.current.value; draw(); });
let namesFor = "";
effect(() => {
  const now = bench.current.value;
  if (!now || now.text_digest === namesFor) return;
  namesFor = now.text_digest;
  ask("GET", `${bench.at}/names`).then(({ status, data }) => { if (status === 200) names.value = data; });
});
loadFields();
