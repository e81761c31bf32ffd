// Where the work on a build stands: chosen in the list of builds, written into the build.
import { ask } from "./bench.js";

const says = /** @type {HTMLElement} */ (document.getElementById("stands-says"));

for (const found of document.querySelectorAll("[data-stands]")) {
  const select = /** @type {HTMLSelectElement} */ (found);
  let was = select.value;
  select.addEventListener("change", async () => {
    const at = `/api/builds/${encodeURIComponent(select.dataset.stands ?? "")}`;
    const text = await ask("GET", `${at}/text`);
    const made = text.status !== 200 ? text : await ask("POST", `${at}/edits`, { seen: text.data.digest, operations: [{ do: "set", path: "build.stands", value: select.value }], why: `stands: ${select.value}` });
    if (made.status === 200) was = select.value;
    else select.value = was;
    says.textContent = made.status === 200 ? "" : made.data.says;
    says.hidden = made.status === 200;
  });
}
