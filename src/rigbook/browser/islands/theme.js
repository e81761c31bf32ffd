// Light, dark, or as the system: remembered on this machine alone.
const root = document.documentElement;

/** @param {string} choice auto, light or dark */
function apply(choice) {
  if (choice === "light" || choice === "dark") root.dataset.theme = choice;
  else delete root.dataset.theme;
}

/** @returns {string} the remembered choice; auto where the browser keeps none */
function remembered() {
  try {
    return localStorage.getItem("rigbook-theme") ?? "auto";
  } catch (refused) {
    if (!(refused instanceof DOMException)) throw refused;
    return "auto"; // storage is closed to pages here: nothing is remembered
  }
}

/** @param {string} choice */
function remember(choice) {
  try {
    localStorage.setItem("rigbook-theme", choice);
  } catch (refused) {
    if (!(refused instanceof DOMException)) throw refused;
  }
}

const picker = /** @type {HTMLSelectElement | null} */ (document.getElementById("theme"));
apply(remembered());
if (picker) {
  picker.value = remembered();
  picker.addEventListener("change", () => {
    remember(picker.value);
    apply(picker.value);
  });
}
