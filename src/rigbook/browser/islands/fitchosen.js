// The chosen row of the Fit page: all its fields with what they mean, its findings, its circuits, and small steps.
import { h } from "preact";
import htm from "htm";
import { Figure } from "./explain.js";
import { bench, duplicate, fields, move, nudge, readOnly, remove, row, section, selected, step, STEPS, TYPICAL, worked } from "./fitstate.js";
import { Cell } from "./fittable.js";

const html = htm.bind(h);

/** What its circuits come to, each figure with its hand calculation. */
function Circuits({ ids, devices }) {
  const circuits = (bench.current.value?.report?.power?.circuits ?? []).filter((/** @type {any} */ c) => ids.includes(c.id) && c.devices.some((/** @type {any} */ d) => devices.includes(d.id)));
  if (!circuits.length) return null;
  const figure = (/** @type {any} */ c, /** @type {string} */ key, /** @type {string} */ unit) => typeof c[key] === "number" ? html`<${Figure} at=${bench.at} id=${`power.circuits[${c.id}].${key}`}>${Number(c[key].toPrecision(3))} ${unit}<//>` : "–";
  return html`<ul class="circuits" aria-label="Circuits">${circuits.map((/** @type {any} */ c) => html`<li><b>${c.id}</b> ${c.conductor ?? ""} · worst ${figure(c, "worst_average_a", "A")} of ${figure(c, "ampacity_a", "A")} · drop ${figure(c, "drop_v", "V")}</li>`)}</ul>`;
}

const WAYS = [["Forward", "x_m", -1], ["Back", "x_m", 1], ["Left", "y_m", -1], ["Right", "y_m", 1], ["Up", "z_m", 1], ["Down", "z_m", -1]];

/** Where it sits, and buttons that move it. */
function Steps({ r, found }) {
  if (readOnly || !found?.at || r.on) return null;
  const size = Number(STEPS.value[step.value][1]);
  return html`<fieldset class="steps-box"><legend>Where it sits</legend>
    <p class="quiet">${r.along ? "The first of the row: " : ""}${found.at[0]} back from the front axle, ${found.at[1]} to the right, ${found.at[2]} up.${r.place ? ` A step takes it off the place ${r.place}: its coordinates are written instead.` : ""}</p>
    <div class="nudges">${WAYS.map(([word, axis, sense]) => html`<button class="button small" onClick=${() => nudge({ [axis]: Number(sense) * size })}>${word}</button>`)}
      <label>by <select value=${String(step.value)} onChange=${(/** @type {any} */ e) => { step.value = Number(e.target.value); }}>${STEPS.value.map(([word], i) => html`<option value=${String(i)}>${word}</option>`)}</select></label></div>
    <p class="quiet">On the drawing: arrow keys go from lamp to lamp, Enter picks, Shift and an arrow moves what is picked.</p></fieldset>`;
}

export function Chosen() {
  const r = row.value;
  if (!r) return html`<p class="quiet">Choose a row, or a lamp on the drawing: all its fields stand here, with findings about it.</p>`;
  const known = fields.value[section.value] ?? [];
  const found = worked.value;
  const ids = new Set([r.id, ...(found?.devices ?? [])]);
  const about = (bench.current.value?.findings ?? []).filter((/** @type {any} */ f) => f.severity !== "note" && f.subject.split(/[.\s:]/).concat(f.subject).some((/** @type {string} */ s) => ids.has(s)));
  return html`<div class="chosen-head"><h2>${r.id}</h2><button class="button small" onClick=${() => { selected.value = ""; }}>Close</button></div>${found ? html`<p class="quiet">${found.title}</p>` : null}
    <p class="row-hands"><button class="button small" disabled=${readOnly} onClick=${() => duplicate(r.id)}>Duplicate</button>
      <button class="button small" disabled=${readOnly} onClick=${() => move(r.id, -1)}>Up</button><button class="button small" disabled=${readOnly} onClick=${() => move(r.id, 1)}>Down</button>
      <button class="button small" disabled=${readOnly} onClick=${() => remove(r.id)}>Remove</button></p>
    ${about.map((/** @type {any} */ f) => html`<p class=${`about about-${f.severity}`}><b>${f.severity}</b> ${f.says} ${f.value === null ? null : html`<${Figure} at=${bench.at} id=${f.id}>how it is worked out<//>`}</p>`)}
    <${Steps} r=${r} found=${found} />
    <${Circuits} ids=${[...(found?.outputs ?? []), ...(found?.feeds ?? [])]} devices=${found?.devices ?? []} />
    ${known.map((/** @type {any} */ f) => html`<div class="field" key=${`${r.id} ${f.key} ${r[f.key] ?? ""}`}><label for=${`field-${f.key}`}>${f.key}${f.needed ? " (needed)" : ""}</label>
      <${Cell} id=${r.id} name=${f.key} value=${r[f.key]} hint="" field />
      <p class="quiet" id=${`about-${f.key}`}>${f.about} ${f.value}.${f.default ? ` Left out: ${f.default}.` : ""}${/** @type {any} */ (TYPICAL)[f.key] ? ` Such as ${/** @type {any} */ (TYPICAL)[f.key]}` : ""}</p></div>`)}`;
}
