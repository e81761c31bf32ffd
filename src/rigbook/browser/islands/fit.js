// The Fit page: what is installed as a table edited in place, the drawing beside it, one selection in both.
import { effect } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { ask } from "./bench.js";
import { Catalogue } from "./catalogue.js";
import { Chosen } from "./fitchosen.js";
import { FitDrawing } from "./fitdrawing.js";
import { add, adding, addRow, bench, filter, free, loadFields, names, nudge, open, readOnly, refused, SECTIONS, section, selected, step, STEPS, worked } from "./fitstate.js";
import { Table } from "./fittable.js";

const html = htm.bind(h);
const host = /** @type {HTMLElement} */ (document.getElementById("fit"));
const side = /** @type {HTMLElement} */ (document.getElementById("chosen"));

function Clauses() {
  if (section.value !== "clauses" || !bench.current.value) return null;
  const open = bench.current.value.clauses.filter((/** @type {any} */ c) => !c.met_by.length || c.met_by.some((/** @type {any} */ m) => !m.known));
  return html`<p class="quiet">${bench.current.value.clauses.length} clauses; ${open.length ? html`not met by anything known: ${open.map((/** @type {any} */ c) => c.id).join(", ")}` : "each names what meets it"}.</p>`;
}

function Page() {
  const offered = ["parts", "places", "feeds", "install", "grounds", "areas", "nodes"];
  return html`<div class="fit-hands">
      <div class="segments" role="group" aria-label="Section">${Object.entries(SECTIONS).map(([k, v]) => html`<button class="segment" aria-pressed=${section.value === k ? "true" : "false"} onClick=${() => open(/** @type {any} */ (k))}>${v.title}${bench.figures.value?.written?.[k]?.length ? html` <span class="count">${bench.figures.value.written[k].length}</span>` : null}</button>`)}</div>
      <div class="fit-tools"><input class="filter" type="search" placeholder="Filter rows" aria-label="Filter rows" value=${filter.value} onInput=${(/** @type {any} */ e) => { filter.value = e.target.value; }} />
      ${readOnly ? null : section.value === "install" ? html`<button class="button first" id="add-part" onClick=${() => { adding.value = !adding.value; }}>${adding.value ? "Close the catalogue" : "Add from the catalogue"}</button>` : html`<button class="button first" id="add-row" onClick=${addRow}>Add a row</button>`}</div></div>
    ${refused.value ? html`<p class="refused" role="alert">${refused.value}</p>` : null}
    ${adding.value && section.value === "install" ? html`<${Catalogue} places=${names.value.places ?? []} free=${free} onAdd=${add} />` : null}
    <${Clauses} />
    <section class="fit-rows" aria-label=${SECTIONS[section.value].title}><${Table} /></section>
    ${offered.map((k) => html`<datalist id=${`names-${k}`}>${(names.value[k] ?? []).map((n) => html`<option value=${n}></option>`)}</datalist>`)}`;
}

/** The row that installs a device. @param {string} device */
const rowOf = (device) => Object.entries(bench.figures.value?.worked ?? {}).find(([, w]) => /** @type {any} */ (w).devices.includes(device))?.[0] ?? "";

const drawing = new FitDrawing(/** @type {HTMLElement} */ (document.getElementById("fit-drawing")), {
  rowOf,
  step: () => Number(STEPS.value[step.value][1]),
  nudge,
  pick: (device) => {
    const found = rowOf(device);
    if (!found) return;
    open("install", found === selected.value ? "" : found);
    requestAnimationFrame(() => host.querySelector("tr.chosen")?.scrollIntoView({ block: "nearest" }));
  },
});

let drawnFor = "";
async function draw() {
  const now = bench.current.value;
  if (!now || now.errors.length || now.text_digest === drawnFor || now.stage !== "whole") return;
  drawnFor = now.text_digest;
  const { status, data } = await ask("GET", `${bench.at}/views`);
  if (status === 200 && bench.current.value?.text_digest === data.text_digest) drawing.show(data.views);
}

host.textContent = "";
side.textContent = "";
effect(() => { render(html`<${Page} />`, host); });
effect(() => { render(html`<${Chosen} />`, side); side.classList.toggle("has-row", Boolean(selected.value)); });
effect(() => { drawing.mark(worked.value?.devices ?? bench.figures.value?.worked?.[selected.value]?.devices ?? []); });
effect(() => { bench.current.value; draw(); });
let namesFor = "";
effect(() => {
  const now = bench.current.value;
  if (!now || now.text_digest === namesFor) return;
  namesFor = now.text_digest;
  ask("GET", `${bench.at}/names`).then(({ status, data }) => { if (status === 200) names.value = data; });
});
loadFields();
