// The table of the Fit page: what stands in the text, edited in place, with what was worked out of it beside.
import { h } from "preact";
import htm from "htm";
import { Figure, Sum } from "./explain.js";
import { bench, filter, LISTS, put, readOnly, rows, SECTIONS, section, select, selected, shown } from "./fitstate.js";

const html = htm.bind(h);
const none = html`<span class="quiet">–</span>`;
/** What is worked out stands under these columns. */
const FOUND = { outputs: "outputs", wire: "wires", feed: "feeds" };

/** @param {any} e @param {string} was */
function keys(e, was) {
  if (e.key === "Enter" && !e.shiftKey) { e.preventDefault(); e.target.blur(); }
  if (e.key === "Escape") { e.target.value = was; e.target.blur(); }
}

/** One value of the text: a field that grows with what stands in it, or offers names where names are meant. */
export function Cell({ id, name, value, hint, field }) {
  const was = value ?? "";
  const list = /^[[{]/.test(was) ? undefined : /** @type {any} */ (LISTS)[name];
  const common = {
    defaultValue: was, disabled: readOnly, title: field ? undefined : was || hint || "", placeholder: list && hint ? "" : hint || (field ? "" : "–"),
    onKeyDown: (/** @type {any} */ e) => keys(e, was),
    onChange: async (/** @type {any} */ e) => { if (e.target.value.trim() !== was && !(await put(id, name, e.target.value))) e.target.value = was; },
    ...(field ? { id: `field-${name}`, "aria-describedby": `about-${name}` } : { "aria-label": `${name} of ${id}`, class: "cell" }),
  };
  return list ? html`<input ...${common} list=${`names-${list}`} />` : html`<textarea ...${common} rows="1" spellcheck="false"></textarea>`;
}

/** Where a row is that has no named place: its coordinates, its row of lamps in words, its panel. */
function Where({ r }) {
  if (r.at) return html`<${Cell} key=${`${r.id} at ${r.at}`} id=${r.id} name="at" value=${r.at} />`;
  const words = r.along ? alongInWords(r.along) : r.on ? onInWords(r.on) : "";
  return html`<button class="cell cell-words" onClick=${() => { selected.value = r.id; }} title=${r.along ?? r.on}>${words}</button>`;
}

/** @param {string} along */
function alongInWords(along) {
  const found = /from:\s*\[([^\]]*)\].*to:\s*\[([^\]]*)\]/.exec(along);
  const count = /count:\s*(\d+)/.exec(along)?.[1];
  return found ? `row of ${count ?? "?"}: ${found[1]} to ${found[2]}` : along;
}

/** @param {string} on */
function onInWords(on) {
  const panel = /panel:\s*([\w.-]+)/.exec(on)?.[1];
  const at = /at:\s*\[([^\]]*)\]/.exec(on)?.[1];
  return panel ? `on ${panel}${at ? `, ${at}` : ""}` : on;
}

/** A number that is worked out of an installed row, or what stands for it. */
function Fact({ r, name }) {
  if (!bench.current.value) return html`<em class="quiet">working…</em>`;
  const found = bench.current.value.worked?.[r.id];
  const report = bench.current.value.report;
  if (!found) return none;
  if (name === "current_a") return html`<${Amperes} row=${found} devices=${report?.power?.devices} />`;
  if (name === "price") return !found.price ? none : report ? html`<${Figure} at=${bench.at} id=${`money.lines[${found.part}].unit_price`}>${found.price}<//>` : found.price;
  const circuits = report?.power?.circuits;
  return !found.fused.length ? none : found.fused.map((/** @type {string} */ c, /** @type {number} */ i) => {
    const fuse = circuits?.find((/** @type {any} */ x) => x.id === c)?.fuse_a ?? bench.current.value.first?.circuits.find((/** @type {any} */ x) => x.id === c)?.fuse_a;
    return html`${i ? ", " : ""}${circuits ? html`<${Figure} at=${bench.at} id=${`power.circuits[${c}].fuse_a`}>${fuse} A<//>` : `${fuse} A`}`;
  });
}

/** Name-plate current of a row: of its one device, or the sum over its devices. */
function Amperes({ row, devices }) {
  if (!row.current_a) return none;
  const own = (devices ?? []).filter((/** @type {any} */ d) => row.devices.includes(d.id) && d.nameplate_a);
  if (!own.length) return row.current_a;
  if (own.length === 1) return html`<${Figure} at=${bench.at} id=${`power.devices[${own[0].id}].nameplate_a`}>${row.current_a}<//>`;
  return html`<${Sum} title="Name-plate current of the row" unit="A" rows=${own.map((/** @type {any} */ d) => ({ name: d.id, value: d.nameplate_a, id: `power.devices[${d.id}].nameplate_a` }))} at=${bench.at}>${row.current_a}<//>`;
}

/** @param {any} r @param {string} c */
function said(r, c) {
  const key = /** @type {any} */ (FOUND)[c];
  const found = key && bench.current.value?.worked?.[r.id]?.[key];
  return Array.isArray(found) ? found.join(", ") : "";
}

function Row({ r, install, columns }) {
  const chosen = r.id === selected.value;
  return html`<tr class=${chosen ? "chosen" : ""} data-row=${r.id}>
    <th scope="row"><button class="link" aria-pressed=${chosen ? "true" : "false"} onClick=${() => select(r.id)}>${r.id}</button></th>
    ${columns.map((/** @type {string} */ c) => {
      const found = install ? said(r, c) : "";
      const elsewhere = c === "place" && !r.place && (r.at || r.along || r.on);
      return html`<td class=${`c-${c}`} data-label=${c.replace("_", " ")}>${elsewhere ? html`<${Where} r=${r} />` : html`<${Cell} key=${`${r.id} ${c} ${r[c] ?? ""}`} id=${r.id} name=${c} value=${r[c]} hint=${found} />`}
        ${found && found !== r[c] && (r[c] !== undefined || /** @type {any} */ (LISTS)[c]) ? html`<span class="worked-out">${found}</span>` : null}</td>`;
    })}
    ${install ? html`<td class="c-fuse" data-label="fuse"><${Fact} r=${r} name="fuse" /></td><td class="n c-current" data-label="A"><${Fact} r=${r} name="current_a" /></td><td class="n c-price" data-label="price"><${Fact} r=${r} name="price" /></td>` : null}
  </tr>`;
}

export function Table() {
  const about = SECTIONS[section.value];
  if (!rows.value) return html`<p class="quiet">Loading…</p>`;
  if (!rows.value.length) return html`<p class="empty">${about.empty}</p>`;
  const install = section.value === "install";
  const currency = bench.figures.value?.first?.currency;
  return html`<div class="table-wrap"><table class=${`fit-table fit-${section.value}`}><thead><tr><th scope="col" class="c-id">id</th>${about.columns.map((c) => html`<th scope="col" class=${`c-${c}`}>${c.replace("_", " ")}</th>`)}
      ${install ? html`<th scope="col" class="c-fuse">fuse</th><th scope="col" class="n c-current">A</th><th scope="col" class="n c-price">${currency ?? "price"}</th>` : null}</tr></thead>
    <tbody>${shown.value.map((/** @type {any} */ r) => html`<${Row} key=${r.id} r=${r} install=${install} columns=${about.columns} />`)}</tbody></table></div>${shown.value.length ? null : html`<p class="empty">Nothing here holds “${filter.value}”.</p>`}`;
}
