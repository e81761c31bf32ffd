// The text page: the whole build in one editor; typing is kept as a draft, errors stand at the word, saving is guarded.
import { effect, signal } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { Bench, benchOf } from "./bench.js";
import { TextEditor } from "./editor.js";

const html = htm.bind(h);
const DRAFT_MS = 500;
const figures = benchOf();
const host = /** @type {HTMLElement} */ (document.getElementById("editor"));
/** The document that is edited: the build itself, or another one of the shop beside it. */
const other = host.dataset.file;
const bench = other ? new Bench(figures.id, other) : figures;
const bar = /** @type {HTMLElement} */ (document.getElementById("editor-bar"));
const beside = /** @type {HTMLElement} */ (document.getElementById("beside"));
const readOnly = host.dataset.readOnly === "yes";

const errors = signal(/** @type {any[]} */ ([]));
const state = signal("loading"); // saved, typing, kept, saving
const present = signal(/** @type {any} */ (null)); // what stands on disk where it is not what was seen
/** @type {TextEditor} */
let editor;
let base = "";
let timer = 0;

async function keep() {
  const text = editor.text;
  const { status, data } = await bench.keep(text, base);
  if (status === 0) { timer = window.setTimeout(keep, 1500); return; }
  if (text !== editor.text) return;
  if (status === 200) {
    errors.value = data.errors;
    state.value = "kept";
  } else figures.says.value = data.says;
}

function typed() {
  if (editor.text === bench.text.value.text && !present.value) {
    clearTimeout(timer);
    state.value = "saved";
    bench.forget();
    errors.value = figures.current.value?.errors ?? [];
    return;
  }
  state.value = "typing";
  clearTimeout(timer);
  timer = window.setTimeout(keep, DRAFT_MS);
}

async function save() {
  if (readOnly || state.value === "saved" || state.value === "saving") return;
  clearTimeout(timer);
  state.value = "saving";
  const text = editor.text;
  const { ok, data } = await bench.save(text, base);
  if (ok) {
    if (other) figures.figures.value = null; // what was worked out of the document before is no longer true
    base = data.digest;
    present.value = null;
    state.value = editor.text === text ? "saved" : "typing";
    if (editor.text !== text) typed();
  } else {
    state.value = "kept";
    figures.says.value = data.present ? "" : (data.says ?? "");
    if (data.present) {
      present.value = data.present;
      bench.says.value = "";
    }
  }
}

/** @param {boolean} back */
async function step(back) {
  const { ok } = await (back ? bench.undo() : bench.redo());
  if (ok) figures.figures.value = null;
}

function takeDisk() {
  editor.set(present.value.text);
  base = present.value.digest;
  present.value = null;
  state.value = "saved";
  bench.forget().then(() => bench.reload());
}

function mineOver() {
  base = present.value.digest;
  present.value = null;
  save();
}

const SAYS = { loading: "Loading…", saved: "Saved.", typing: "Typing…", kept: "Not saved yet; kept as a draft.", saving: "Saving…" };

function Bar() {
  const own = errors.value.filter((e) => e.file === bench.text.value?.file);
  return html`<div class="editor-hands">
      <button class="button first" id="save-text" disabled=${readOnly || state.value === "saved" || state.value === "loading"} onClick=${save}>Save</button>
      <button class="button" disabled=${readOnly || state.value === "saved" || state.value === "loading"} onClick=${() => { editor.set(bench.text.value.text); base = bench.text.value.digest; present.value = null; typed(); }}>Back to saved</button>
      ${other ? html`<button class="button" id="undo-document" disabled=${readOnly || state.value !== "saved" || !bench.text.value?.undo} onClick=${() => step(true)}>Undo last save</button>
      <button class="button" id="redo-document" disabled=${readOnly || state.value !== "saved" || !bench.text.value?.redo} onClick=${() => step(false)}>Redo</button>` : null}
      <span class="quiet" role="status">${SAYS[/** @type {"saved"} */ (state.value)]} Ctrl-S saves, Ctrl-Space completes.</span>
    </div>
    ${errors.value.length ? html`<ul class="problems" aria-label="Errors in this text">${errors.value.slice(0, 12).map((e) => html`<li>
        <button class="link" disabled=${!own.includes(e)} onClick=${() => editor.go(e.line)}>${e.file}:${e.line}:${e.column}</button> ${e.says}</li>`)}
        ${errors.value.length > 12 ? html`<li>and ${errors.value.length - 12} more</li>` : null}</ul>` : null}`;
}

function Beside() {
  if (!present.value) return null;
  return html`<h2>On disk now</h2><p>The file changed since you began to type. Both stand here; nothing was written over.</p>
    <p><button class="button" onClick=${takeDisk}>Take the one on disk</button> <button class="button" onClick=${mineOver}>Save mine over it</button></p>
    <pre class="beside-text" tabindex="0">${present.value.text}</pre>`;
}

function begin() {
  const { text, digest, draft } = bench.text.value;
  base = draft ? draft.base : digest;
  const shown = draft ? draft.text : text;
  editor = new TextEditor(host, { text: shown, label: `Text of ${bench.text.value.file}`, at: bench.at, query: bench.query, readOnly, onInput: typed, onSave: save });
  state.value = shown === text ? "saved" : "kept";
  if (draft && draft.base !== digest && draft.text !== text) present.value = { text, digest };
  if (draft && shown !== text) keep();
  const wanted = /^#L(\d+)$/.exec(location.hash);
  if (wanted) editor.go(Number(wanted[1]));
}

addEventListener("hashchange", () => {
  const wanted = /^#L(\d+)$/.exec(location.hash);
  if (wanted) editor.go(Number(wanted[1]));
});
addEventListener("pagehide", () => {
  if (state.value === "typing") fetch(`${bench.at}/draft${bench.query}`, { method: "PUT", keepalive: true, headers: { "content-type": "application/json" }, body: JSON.stringify({ base, text: editor.text }) });
});

let begun = false;
effect(() => {
  const text = bench.text.value;
  if (!text) return;
  if (!begun) {
    begun = true;
    queueMicrotask(begin);
  } else if (text.digest !== base && state.peek() === "saved") {
    base = text.digest;
    editor.set(text.text); // edited elsewhere, and nothing unsaved here
  } else if (text.digest !== base && state.peek() !== "saving" && state.peek() !== "loading") {
    present.value = { text: text.text, digest: text.digest };
  }
});
effect(() => {
  const now = figures.current.value;
  if (now && state.value === "saved") errors.value = now.errors;
});
let revision = "";
effect(() => {
  const now = figures.figures.value?.revision ?? "";
  if (!other || now === "" || now === revision) return;
  revision = now;
  queueMicrotask(() => bench.reload()); // something of the shop changed: this document, perhaps
});
if (other) bench.reload();
effect(() => {
  render(html`<${Bar} />`, bar);
  render(html`<${Beside} />`, beside);
  beside.hidden = !present.value;
  if (state.value !== "loading") editor?.mark(errors.value.filter((e) => e.file === bench.text.value?.file));
});
