// A sheet opened on the Papers page is fetched and shown as a table.
import { h, render } from "preact";
import htm from "htm";
import { ask } from "./bench.js";

const html = htm.bind(h);

/** @param {HTMLElement} place */
async function show(place) {
  const { status, data } = await ask("GET", place.dataset.sheet ?? "");
  place.textContent = "";
  if (status !== 200) {
    place.textContent = data.says;
    return;
  }
  const number = (/** @type {any} */ cell) => typeof cell === "number";
  render(
    html`<table class="fit-table sheet-table"><thead><tr>${data.columns.map((/** @type {string} */ c, /** @type {number} */ i) => html`<th scope="col" class=${data.rows.some((/** @type {any[]} */ r) => number(r[i])) ? "n" : ""}>${c}</th>`)}</tr></thead>
      <tbody>${data.rows.map((/** @type {any[]} */ r) => html`<tr>${r.map((cell) => html`<td class=${number(cell) ? "n" : ""}>${cell ?? ""}</td>`)}</tr>`)}</tbody></table>`,
    place,
  );
}

for (const found of document.querySelectorAll("[data-sheet]")) {
  const place = /** @type {HTMLElement} */ (found);
  place.closest("details")?.addEventListener("toggle", () => show(place), { once: true });
}
