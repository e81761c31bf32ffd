// The verdict strip at the head of a build's pages: verdict, counts, first loads, undo and redo.
import { effect } from "@preact/signals";
import { h, render } from "preact";
import htm from "htm";
import { benchOf } from "./bench.js";
import { Figure } from "./explain.js";

const html = htm.bind(h);
const WORDS = { pass: "✓ pass", caution: "! caution", fail: "✕ fail" };
const bench = benchOf();
const place = /** @type {HTMLElement} */ (document.getElementById("strip"));
const drawnFrom = place.dataset.drawn ?? "";
const readOnly = place.dataset.readOnly === "yes";

function verdict() {
  const now = bench.current.value;
  if (!now) return html`<span class="verdict verdict-working">working…</span>`;
  if (now.errors.length) return html`<span class="verdict verdict-fail">✕ ${now.errors.length} ${now.errors.length === 1 ? "error" : "errors"} in the text</span>`;
  if (now.trouble) return html`<span class="verdict verdict-fail">✕ fault of the program</span>`;
  if (!now.verdict) return html`<span class="verdict verdict-working">working…</span>`;
  return html`<span class=${`verdict verdict-${now.verdict}`}>${WORDS[/** @type {"pass"} */ (now.verdict)]}</span>`;
}

function counts() {
  const now = bench.current.value;
  if (!now || now.errors.length) return null;
  const count = (/** @type {string} */ s) => now.findings.filter((/** @type {any} */ f) => f.severity === s).length;
  const rest = now.stage === "whole" ? html`<span>${count("fail")} fail · ${count("caution")} caution · ${count("note")} notes</span>` : html`<span>findings <em>working…</em></span>`;
  const worst = now.report?.power?.whole?.worst_average_a;
  return html`${rest}<span>name-plate <b>${!now.first ? "–" : now.stage === "whole" ? html`<${Figure} at=${bench.at} id="power.whole.nameplate_a">${Number(now.report.power.whole.nameplate_a.toPrecision(4))} A<//>` : `${Number(now.first.nameplate_a.toPrecision(4))} A`}</b></span>
    <span>worst average <b>${typeof worst === "number" ? html`<${Figure} at=${bench.at} id="power.whole.worst_average_a">${Number(worst.toPrecision(4))} A<//>` : now.stage === "whole" ? "–" : html`<em>working…</em>`}</b></span>`;
}

function Strip() {
  const text = bench.text.value;
  const now = bench.current.value;
  const stale = drawnFrom && text && text.digest !== drawnFrom;
  document.body.classList.toggle("stale", Boolean(stale));
  const first = now?.errors[0];
  return html`<div class="strip-row">
      <span class="strip-figures" role="status" aria-live="polite">${verdict()}${counts()}</span>
      ${readOnly ? html`<span class="quiet">read only</span>` : html`<span class="strip-hands">
        <button class="button" id="undo" disabled=${!text?.undo} title=${text?.undo ? `Undo: ${text.undo}` : "Nothing to undo"} onClick=${() => bench.undo()}>Undo</button>
        <button class="button" id="redo" disabled=${!text?.redo} title=${text?.redo ? `Redo: ${text.redo}` : "Nothing to redo"} onClick=${() => bench.redo()}>Redo</button></span>`}
    </div>
    ${bench.lost.value ? html`<p class="refused" role="alert">The server does not answer. This page tries again by itself.</p>` : null}
    ${bench.says.value ? html`<p class="refused" role="alert">${bench.says.value} <button class="button small" onClick=${() => { bench.says.value = ""; }}>Close</button></p>` : null}
    ${text?.draft && text.draft.text !== text.text && place.dataset.here !== "editor" ? html`<p class="notice">There is unsaved typing in the text of this build. <a href=${`/builds/${bench.id}/text`}>Open it</a></p>` : null}
    ${first && place.dataset.here !== "editor" ? html`<p class="notice notice-fail"><a href=${`/builds/${bench.id}/text${first.file === text?.file ? "" : `?file=${encodeURIComponent(first.file)}`}#L${first.line}`}>${first.file}:${first.line}</a> ${first.says}${now.errors.length > 1 ? ` (and ${now.errors.length - 1} more)` : ""}</p>` : null}
    ${stale ? html`<p class="notice">The build has changed since this page was drawn. <button class="button small" onClick=${() => location.reload()}>Draw it as it is now</button></p>` : null}`;
}

effect(() => {
  render(html`<${Strip} />`, place);
});

// What stays in sight below the strip begins where it ends.
new ResizeObserver(() => document.documentElement.style.setProperty("--strip-height", `${place.offsetHeight}px`)).observe(place);

/** @param {EventTarget | null} target */
const typing = (target) => target instanceof HTMLElement && (target.matches("input, textarea, select") || target.isContentEditable || target.shadowRoot !== null);

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || readOnly || typing(event.target)) return;
  if (event.key === "z" && !event.shiftKey) bench.undo();
  else if (event.key === "y" || (event.key === "Z" && event.shiftKey)) bench.redo();
  else return;
  event.preventDefault();
});
