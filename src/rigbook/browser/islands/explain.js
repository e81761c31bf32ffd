// A figure opens its hand calculation: the lines that `explain` prints, in a dialog; a sum of figures opens its terms.
import { h } from "preact";
import htm from "htm";
import { ask } from "./bench.js";

const html = htm.bind(h);

/** @param {string} label @param {string} text @returns {HTMLDialogElement} */
function dialogOf(label, text) {
  const dialog = document.createElement("dialog");
  dialog.className = "dialog dialog-wide";
  dialog.setAttribute("aria-label", label);
  const lines = document.createElement("pre");
  lines.className = "calculation";
  lines.tabIndex = 0;
  lines.textContent = text;
  const close = document.createElement("button");
  close.className = "button";
  close.textContent = "Close";
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  dialog.append(lines, close);
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

/** @param {string} at  address of the build's data @param {string} id  of the figure or finding */
export async function openWorking(at, id) {
  const dialog = dialogOf(`How ${id} is worked out`, "working…");
  const { status, data } = await ask("GET", `${at}/explain?of=${encodeURIComponent(id)}`);
  const lines = dialog.querySelector("pre");
  if (lines) lines.textContent = status === 200 ? data.lines.join("\n") : data.says;
}

/** Lines that the page itself worked out. @param {string} title @param {string[]} lines */
export function openLines(title, lines) {
  dialogOf(`How ${title} is worked out`, [title, ...lines].join("\n"));
}

/** @param {{at: string, id: string, children: any}} given */
export function Figure({ at, id, children }) {
  return html`<button type="button" class="link figure" title="How it is worked out" onClick=${() => openWorking(at, id)}>${children}</button>`;
}

/** A sum of figures. @param {{title: string, unit: string, rows: {name: string, value: number, id?: string}[], at: string, children: any}} given */
export function Sum({ title, unit, rows, at, children }) {
  const open = () => {
    const total = rows.reduce((sum, r) => sum + r.value, 0);
    const dialog = dialogOf(`How ${title} is worked out`, [title, ...rows.map((r) => `  ${Number(r.value.toPrecision(5))} ${unit}  ${r.name}`), `  = ${Number(total.toPrecision(6))} ${unit}`].join("\n"));
    const more = document.createElement("p");
    more.className = "row-hands";
    for (const r of rows.filter((x) => x.id)) {
      const button = document.createElement("button");
      button.className = "button small";
      button.textContent = r.name;
      button.title = "How it is worked out";
      button.addEventListener("click", () => openWorking(at, r.id ?? ""));
      more.append(button);
    }
    dialog.querySelector("pre")?.after(more);
  };
  return html`<button type="button" class="link figure" title="How it is worked out" onClick=${open}>${children}</button>`;
}

// Figures that the server wrote into a page: a button that names its figure.
document.addEventListener("click", (event) => {
  const figure = /** @type {Element} */ (event.target).closest?.("[data-figure]");
  const build = /** @type {HTMLElement | null} */ (document.querySelector("[data-build]"));
  if (figure && build) openWorking(`/api/builds/${encodeURIComponent(build.dataset.build ?? "")}`, /** @type {HTMLElement} */ (figure).dataset.figure ?? "");
});
