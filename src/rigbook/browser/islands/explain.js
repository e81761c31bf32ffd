// A figure opens its hand calculation: the lines that `explain` prints, in a dialog.
import { h } from "preact";
import htm from "htm";
import { ask } from "./bench.js";

const html = htm.bind(h);

/** @param {string} at  address of the build's data @param {string} id  of the figure or finding */
async function open(at, id) {
  const { status, data } = await ask("GET", `${at}/explain?of=${encodeURIComponent(id)}`);
  const dialog = document.createElement("dialog");
  dialog.className = "dialog dialog-wide";
  dialog.setAttribute("aria-label", `How ${id} is worked out`);
  const lines = document.createElement("pre");
  lines.className = "calculation";
  lines.tabIndex = 0;
  lines.textContent = status === 200 ? data.lines.join("\n") : data.says;
  const close = document.createElement("button");
  close.className = "button";
  close.textContent = "Close";
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  dialog.append(lines, close);
  document.body.append(dialog);
  dialog.showModal();
}

/** @param {{at: string, id: string, children: any}} given */
export function Figure({ at, id, children }) {
  return html`<button class="link figure" title="How it is worked out" onClick=${() => open(at, id)}>${children}</button>`;
}
