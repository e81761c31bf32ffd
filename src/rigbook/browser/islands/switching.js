// The Switching page: sections of the text in an editor, what they come to in words, and what was proved.
import { effect, signal } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { ask, benchOf } from "./bench.js";
import { TextEditor } from "./editor.js";

const html = htm.bind(h);
const bench = benchOf();
const host = /** @type {HTMLElement} */ (document.getElementById("editor"));
const bar = /** @type {HTMLElement} */ (document.getElementById("editor-bar"));
const outcome = /** @type {HTMLElement} */ (document.getElementById("outcome"));
const readOnly = host.dataset.readOnly === "yes";
const CHECK_MS = 450;
const SECTIONS = [
  ["switches", "Switches", "  switches:\n    - id: response\n      label: WARN\n      kind: slide\n      positions: [off, rear-only, on]\n"],
  ["signals", "Signals", "  signals:\n    - id: door_open\n      source: wire\n      active: ground\n"],
  ["conditions", "Conditions", "  conditions:\n    warning: response == on\n"],
  ["memory", "Memory", "  memory:\n    - id: armed\n      set_when: warning\n      clear_when: not warning\n"],
  ["timers", "Timers", "  timers:\n    - id: step_light\n      off_delay: door_open\n      for: 30 s\n"],
  ["functions", "Functions", "  functions:\n    - name: Warning\n      rank: warning\n      when: response == on\n      show:\n        - lamps: warning\n          colour: blue\n          pattern: double\n"],
  ["modes", "Modes", "  modes:\n    - id: calling\n      title: Calling the right of way\n      when: response == on\n      purpose: calling\n"],
  ["require", "Requirements", "  require:\n    - name: Dark when off\n      never: response == off and lit(warning, any)\n"],
];
const ABOUT = {
  switches: "What the crew presses: slide, rotary, rocker, latching, momentary.", signals: "What the vehicle and sensors tell.", conditions: "Names for what is asked often.",
  memory: "Latches: set by one thing, cleared by another.", timers: "Off-delay, on-delay, pulse.", functions: "When, and what is shown, driven, cut or dimmed. Higher ranks win; inside a rank the later one.",
  modes: "Named sets of states that rules speak of.", require: "What must never, or always, hold. Proved over every reachable state, with signals lost too.",
};
const now = signal("functions");
const state = signal("saved");
const errors = signal(/** @type {any[]} */ ([]));
const made = signal(/** @type {any} */ (null));
/** @type {TextEditor | null} */
let editor = null;
let base = "";
let baseText = "";
/** The lines of the section as they are saved, and whether they have been read. */
const excerpt = signal("");
const begun = signal(false);
let first = 1;
let count = 0; // lines of the whole text that the excerpt stands for
let timer = 0;

/** @param {string} key */
function cut(key) {
  const { text, sections } = bench.text.value;
  const lines = text.split("\n");
  const found = sections.find((/** @type {any} */ s) => s.path === `switching.${key}`);
  const whole = sections.find((/** @type {any} */ s) => s.path === "switching");
  if (found) {
    first = found.first_line;
    count = found.last_line - found.first_line + 1;
    excerpt.value = lines.slice(first - 1, first - 1 + count).join("\n");
  } else {
    first = (whole ? whole.last_line : lines.length - (text.endsWith("\n") ? 1 : 0)) + 1;
    count = 0;
    excerpt.value = "";
  }
  base = bench.text.value.digest;
  baseText = text;
}

/** The whole text with the excerpt as typed. @param {string} part */
function whole(part) {
  const lines = baseText.split("\n");
  const none = !/^switching:/m.test(baseText);
  const typed = part.replace(/\n+$/, "");
  const put = typed === "" ? [] : (none ? `switching:\n${typed}` : typed).split("\n");
  lines.splice(first - 1, count, ...put);
  return lines.join("\n");
}

/** @param {string} key */
function open(key) {
  now.value = key;
  cut(key);
  editor?.destroy();
  editor = new TextEditor(host, { text: excerpt.value, firstLine: first, label: `${key} of the switching section`, at: bench.at, readOnly, whole, onInput: typed, onSave: save });
  state.value = "saved";
  errors.value = bench.current.value?.errors ?? [];
  history.replaceState(null, "", `#${key}`);
}

function typed() {
  const text = /** @type {TextEditor} */ (editor).text;
  clearTimeout(timer);
  if (text === excerpt.value) { state.value = "saved"; ask("DELETE", `${bench.at}/draft`); return; }
  state.value = "typing";
  timer = window.setTimeout(async () => {
    const { status, data } = await ask("PUT", `${bench.at}/draft`, { base, text: whole(text) });
    if (text !== editor?.text) return;
    if (status === 200) { errors.value = data.errors; state.value = "kept"; }
  }, CHECK_MS);
}

async function save() {
  if (readOnly || !editor || state.value === "saved") return;
  clearTimeout(timer);
  state.value = "saving";
  const { ok } = await bench.save(whole(editor.text), base);
  if (ok) {
    state.value = "saved";
    const caret = editor.view.state.selection.main.head;
    open(now.value);
    editor.view.dispatch({ selection: { anchor: Math.min(caret, editor.view.state.doc.length) } });
    editor.view.focus();
  } else state.value = "kept";
}

/** @param {string} key */
async function go(key) {
  if (key === now.value) return;
  if (state.value !== "saved") {
    await save();
    if (state.value !== "saved") return;
  }
  open(key);
}

function start() {
  const given = SECTIONS.find(([k]) => k === now.value);
  if (!editor || !given) return;
  editor.set(String(given[2]).replace(/\n$/, ""));
  typed();
  editor.view.focus();
}

const SAYS = { saved: "Saved.", typing: "Typing…", kept: "Not saved yet; kept as a draft.", saving: "Saving…" };

function Bar() {
  const blank = begun.value && excerptIsBlank();
  return html`<div class="segments" role="group" aria-label="Section of switching">${SECTIONS.map(([k, t]) => html`<button class="segment" aria-pressed=${now.value === k ? "true" : "false"} onClick=${() => go(String(k))}>${t}</button>`)}</div>
    <p class="quiet">${/** @type {any} */ (ABOUT)[now.value]}</p>
    ${blank && state.value === "saved" && !readOnly ? html`<p class="empty">None written yet. <button class="button small" id="begin-section" onClick=${start}>Begin with an example</button></p>` : null}
    <div class="editor-hands"><button class="button first" id="save-text" disabled=${readOnly || state.value === "saved"} onClick=${save}>Save</button>
      <button class="button" disabled=${state.value === "saved"} onClick=${() => { ask("DELETE", `${bench.at}/draft`); open(now.value); }}>Back to saved</button>
      <span class="quiet" role="status">${/** @type {any} */ (SAYS)[state.value]} Ctrl-S saves, Ctrl-Space completes.</span></div>
    ${errors.value.length ? html`<ul class="problems" aria-label="Errors in this text">${errors.value.slice(0, 8).map((e) => html`<li><code>${e.file}:${e.line}:${e.column}</code> ${e.says}</li>`)}${errors.value.length > 8 ? html`<li>and ${errors.value.length - 8} more</li>` : null}</ul>` : null}`;
}

function excerptIsBlank() {
  const text = excerpt.value.trim();
  return text === "" || (/:\s*(\[\]|\{\})?\s*$/.test(text) && !text.includes("\n"));
}

/** @param {any} w */
const witness = (w) => {
  const set = Object.entries(w.set).map(([k, v]) => `${k} ${v}`).join(", ") || "everything at rest";
  return html`<span class="quiet">${set}${w.lost.length ? `; lost: ${w.lost.join(", ")}` : ""}</span>`;
};

function Outcome() {
  const figures = bench.current.value;
  if (!figures || !made.value || made.value.digest !== figures.text_digest) {
    return figures?.errors.length ? html`<p class="empty">What the switching comes to is shown once the errors above are mended.</p>` : html`<p class="quiet">working…</p>`;
  }
  const { devices, report } = made.value.data;
  const functions = report.functions ?? [];
  const findings = figures.findings.filter((/** @type {any} */ f) => f.witness);
  return html`<section aria-labelledby="proofs"><h2 id="proofs">Proved</h2>
      <p class="quiet">${report.reachable_states === null ? "States not counted." : `${Number(report.reachable_states).toLocaleString("en")} reachable states.`} Proofs lean on the text as entered.</p>
      ${functions.length ? html`<ul class="proofs">${functions.map((/** @type {any} */ f) => html`<li><b>${f.name}</b> ${f.reachable ? f.effective ? html`<span class="ok">can be on, and has effect</span>` : html`<span class="bad">always overridden</span>` : html`<span class="bad">never on</span>`} <a href=${`/builds/${bench.id}/text#L${f.line}`}>line ${f.line}</a></li>`)}</ul>` : html`<p class="empty">No function yet. Write switches first, then functions that show lamps while they stand somewhere.</p>`}
      ${report.requirements?.length ? html`<h3>Requirements</h3><ul class="proofs">${report.requirements.map((/** @type {any} */ r) => html`<li><b>${r.name}</b> ${r.holds ? html`<span class="ok">holds in every reachable state</span>` : html`<span class="bad">broken</span> ${r.witness ? html`${witness(r.witness)} <a href=${`/builds/${bench.id}?witness=${encodeURIComponent(r.name)}`}>see it on the vehicle</a>` : null}`}</li>`)}</ul>` : null}
      ${findings.length ? html`<h3>Findings with a witness</h3><ul class="proofs">${findings.map((/** @type {any} */ f) => html`<li><span class=${f.severity === "fail" ? "bad" : ""}>${f.severity}</span> ${f.says} ${witness(f.witness)} <a href=${`/builds/${bench.id}?witness=${encodeURIComponent(f.id)}`}>see it on the vehicle</a></li>`)}</ul>` : null}</section>
    <section aria-labelledby="lists"><h2 id="lists">What decides each device</h2>
      <p class="quiet">Read from the top: the first line that holds decides the whole device; if none does it rests.</p>
      ${devices.length ? devices.map((/** @type {any} */ d) => html`<details class="decides"><summary><b>${d.id}</b> <span class="quiet">${d.devices.length > 1 ? `${d.devices.length} lamps · ` : ""}${d.entries.length} ${d.entries.length === 1 ? "line" : "lines"}</span></summary>
        <ol>${d.entries.map((/** @type {any} */ e) => html`<li><b>${e.function}</b>: when ${e.when}, ${e.does} <a href=${`/builds/${bench.id}/text#L${e.line}`}>line ${e.line}</a></li>`)}<li>else ${d.rest}</li></ol>
        ${d.dims.map((/** @type {any} */ e) => html`<p class="quiet">Dimmed to ${e.to} by ${e.function} when ${e.when}.</p>`)}</details>`) : html`<p class="empty">No device is named by a function yet.</p>`}</section>
    ${functions.length ? html`<section aria-labelledby="timing"><h2 id="timing">Timing</h2><div class="paper-view" tabindex="0"><img alt="Timing diagrams of the functions" src=${`${bench.at}/papers/drawings/timing.svg?of=${figures.text_digest.slice(0, 12)}`} /></div></section>` : null}`;
}

let asked = "";
effect(() => {
  const text = bench.text.value;
  if (!text) return;
  if (!begun.peek()) {
    begun.value = true;
    const wanted = location.hash.slice(1);
    queueMicrotask(() => open(SECTIONS.some(([k]) => k === wanted) ? wanted : "functions"));
  } else if (text.digest !== base && state.peek() === "saved") queueMicrotask(() => open(now.value));
});
effect(() => {
  const figures = bench.current.value;
  if (figures && state.value === "saved") errors.value = figures.errors;
  if (figures && figures.stage === "whole" && !figures.errors.length && asked !== figures.text_digest) {
    asked = figures.text_digest;
    ask("GET", `${bench.at}/switching`).then(({ status, data }) => { if (status === 200) made.value = { digest: asked, data }; });
  }
});
effect(() => {
  render(html`<${Bar} />`, bar);
  editor?.mark(errors.value.filter((e) => e.file === bench.text.value?.file));
});
effect(() => { render(html`<${Outcome} />`, outcome); });
