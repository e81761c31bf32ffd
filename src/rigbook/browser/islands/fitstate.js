// What the Fit page holds: which section, which row, and the edits that its table, form and drawing make.
import { computed, signal } from "@preact/signals";
import { ask, benchOf } from "./bench.js";

export const bench = benchOf();
export const readOnly = /** @type {HTMLElement} */ (document.getElementById("fit")).dataset.readOnly === "yes";

export const SECTIONS = {
  install: { title: "Fitted", empty: "Nothing is fitted yet. Add a controller first, then lamps: each takes an output of it.", columns: ["part", "place", "tags", "outputs", "feed", "wire"] },
  feeds: { title: "Feeds", empty: "No feed yet. A feed is a fused line from a battery to what it powers; a controller needs one.", columns: ["from", "to", "fuse", "wire", "live_when"] },
  links: { title: "Links", empty: "No conductor between batteries.", columns: ["from", "to", "through", "fuse"] },
  batteries: { title: "Batteries", empty: "No battery beside the vehicle's own.", columns: ["part", "count", "place", "node"] },
  clauses: { title: "Clauses", empty: "No clause of the customer's specification yet. Each says what was asked and names what meets it.", columns: ["text", "answer", "met_by", "note"] },
  states: { title: "Saved states", empty: "No saved state yet. A state names where the switches stand, for tables, papers and the Vehicle page.", columns: ["title", "set", "rpm"] },
  kit: { title: "Loose kit", empty: "No loose equipment entered.", columns: ["mass", "at"] },
};
export const LISTS = { part: "parts", place: "places", feed: "feeds", sense_feed: "feeds", controller: "install", ground: "grounds", area: "areas", node: "nodes", to: "install", through: "install", amplifier: "install", antenna: "install" };
export const TYPICAL = { place: "grille-left", at: "[0.5 m, -0.3 m, 0.9 m]", along: "{from: [4.9 m, -0.4 m, 2.6 m], to: [4.9 m, 0.4 m, 2.6 m], count: 8}", on: "{panel: console-face}", facing: "180 deg", tilt: "0 deg", tags: "[warning, front-row]", outputs: "auto, or {blue: control.3}", feed: "main", wire: "auto, or 14 AWG", fuse: "auto, or 10 A", live_when: "ignition == run", drop: "critical", starts_after: "1 s", from: "battery.starter", met_by: "[warning]", set: "{response: on-scene}", rpm: "700", mass: "12 kg", head: "{panel: console-face}" };
const DEFAULTS = {
  feeds: { from: "battery.starter", fuse: "auto" }, links: { from: "battery.starter", to: "battery.auxiliary", fuse: { start: "auto", end: "auto" } },
  batteries: { part: "", place: "", node: "" }, clauses: { text: "As the customer wrote it", answer: "as asked", met_by: [] },
  states: { title: "State", set: {} }, kit: { mass: "1 kg", at: ["1 m", "0 m", "1 m"] },
};

const wanted = new URLSearchParams(location.search);
export const section = signal(/** @type {keyof typeof SECTIONS} */ (wanted.get("section") ?? "install"));
if (!(section.value in SECTIONS)) section.value = "install";
export const selected = signal(wanted.get("row") ?? "");
export const filter = signal("");
export const adding = signal(false);
export const refused = signal("");
export const names = signal(/** @type {Record<string, string[]>} */ ({}));
export const fields = signal(/** @type {Record<string, any[]>} */ ({}));
/** Rows of the last text that could be read: what is edited is the text, so rows stay while figures are worked out. */
export const rows = computed(() => bench.figures.value?.written?.[section.value] ?? null);
export const shown = computed(() => (rows.value ?? []).filter((/** @type {any} */ r) => !filter.value || JSON.stringify(r).toLowerCase().includes(filter.value.toLowerCase())));
export const row = computed(() => (rows.value ?? []).find((/** @type {any} */ r) => r.id === selected.value) ?? null);
/** What was worked out of the chosen row; null while it is worked out. */
export const worked = computed(() => (section.value === "install" ? (bench.current.value?.worked?.[selected.value] ?? null) : null));

/** @param {string} id */
const path = (id) => `${section.value}[${id}]`;
/** @param {string} value */
export const isFragment = (value) => /^[[{]/.test(value.trim());

/** @param {keyof typeof SECTIONS} name @param {string} [id] */
export function open(name, id = "") {
  section.value = name;
  selected.value = id;
  filter.value = "";
  refused.value = "";
  loadFields();
}

/** @param {string} id */
export const select = (id) => { selected.value = selected.value === id ? "" : id; };

/** @param {any[]} operations @param {string} why */
async function edit(operations, why) {
  const { ok, says } = await bench.edit(operations, why);
  refused.value = ok ? "" : says;
  return ok;
}

/** @param {string} id @param {string} key @param {string} value */
export async function put(id, key, value) {
  const trimmed = value.trim();
  const operation = trimmed === "" ? { do: "clear", path: `${path(id)}.${key}` } : { do: "set", path: `${path(id)}.${key}`, value: trimmed, fragment: isFragment(trimmed) };
  const ok = await edit([operation], `${key} of ${id}`);
  if (ok && key === "id") selected.value = trimmed;
  return ok;
}

/** @param {string} wanted */
export function free(wanted) {
  const taken = new Set((rows.value ?? []).map((/** @type {any} */ r) => r.id));
  if (!taken.has(wanted)) return wanted;
  const [, stem, between] = /^(.*?)([-.])?\d*$/.exec(wanted) ?? ["", wanted, "-"];
  let n = 2;
  while (taken.has(`${stem}${between ?? "-"}${n}`)) n += 1;
  return `${stem}${between ?? "-"}${n}`;
}

/** @param {string} id */
export async function duplicate(id) {
  const made = free(id.replace(/-\d+$/, ""));
  if (await edit([{ do: "duplicate", path: path(id), new_id: made }], `duplicate ${id}`)) selected.value = made;
}

/** @param {string} id */
export async function remove(id) {
  if ((await edit([{ do: "remove", path: path(id) }], `remove ${id}`)) && selected.value === id) selected.value = "";
}

/** @param {string} id @param {number} by */
export async function move(id, by) {
  const to = (rows.value ?? []).findIndex((/** @type {any} */ r) => r.id === id) + by;
  if (to >= 0 && to < rows.value.length) await edit([{ do: "move", path: path(id), to }], `move ${id}`);
}

export async function addRow() {
  const made = free(section.value === "clauses" ? "1.1" : `${section.value.replace(/s$/, "")}-1`);
  if (await edit([{ do: "append", path: section.value, value: { id: made, .../** @type {any} */ (DEFAULTS)[section.value] } }], `add ${made}`)) selected.value = made;
}

/** @param {string} part @param {string} id @param {string} place  a name, or coordinates in brackets @returns {Promise<string>} why not, or nothing */
export async function add(part, id, place) {
  const given = isFragment(place);
  const operations = [/** @type {any} */ ({ do: "append", path: "install", value: { id, part, place: given ? "here" : place } })];
  if (given) operations.push({ do: "clear", path: `install[${id}].place` }, { do: "set", path: `install[${id}].at`, value: place, fragment: true });
  const { ok, says } = await bench.edit(operations, `add ${id}`);
  if (ok) selected.value = id;
  return ok ? "" : says;
}

// --- small steps on the drawing

/** Steps in the shop's own unit, in metres. */
export const STEPS = computed(() => (bench.figures.value?.first?.units === "metric" ? [["5 mm", 0.005], ["10 mm", 0.01], ["50 mm", 0.05]] : [["1/4 in", 0.00635], ["1/2 in", 0.0127], ["2 in", 0.0508]]));
export const step = signal(1);

/** @param {Record<string, number>} by  in metres, vehicle axes */
export async function nudge(by) {
  if (readOnly || !selected.value || section.value !== "install") return;
  const { ok, says } = await bench.nudge(selected.value, by);
  refused.value = ok ? "" : says;
}

export async function loadFields() {
  const name = section.value;
  if (fields.value[name]) return;
  const { status, data } = await ask("GET", `/api/schema/${name}`);
  if (status === 200) fields.value = { ...fields.value, [name]: data };
}
