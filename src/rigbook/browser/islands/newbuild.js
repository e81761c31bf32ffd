// The dialog for a new build: from a vehicle, or from another build.
import { ask } from "./bench.js";

const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("new-build"));
const form = /** @type {HTMLFormElement} */ (dialog.querySelector("form"));
const says = /** @type {HTMLElement} */ (document.getElementById("new-says"));
const title = /** @type {HTMLInputElement} */ (form.elements.namedItem("title"));
const id = /** @type {HTMLInputElement} */ (form.elements.namedItem("id"));
let ownId = false;

for (const opener of document.querySelectorAll("[data-new-build]")) {
  opener.addEventListener("click", () => {
    says.hidden = true;
    const sister = /** @type {HTMLElement} */ (opener).dataset.newBuild;
    if (sister) /** @type {HTMLSelectElement} */ (form.elements.namedItem("from")).value = `build:${sister}`;
    dialog.showModal();
    title.focus();
  });
}
document.getElementById("new-cancel")?.addEventListener("click", () => dialog.close());
title.addEventListener("input", () => {
  if (!ownId) id.value = title.value.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^[^a-z]+|-+$/g, "").slice(0, 60);
});
id.addEventListener("input", () => { ownId = id.value !== ""; });
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const given = new FormData(form);
  const [kind, name] = String(given.get("from")).split(":");
  const customer = String(given.get("customer")).trim();
  const { status, data } = await ask("POST", "/api/builds", { id: String(given.get("id")), title: String(given.get("title")), customer: customer || null, [kind]: name });
  if (status === 201) location.href = `/builds/${encodeURIComponent(data.id)}/fit`;
  else {
    says.textContent = data.says;
    says.hidden = false;
  }
});
