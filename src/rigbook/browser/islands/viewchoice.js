// Which views of the drawing are shown. On a narrow screen one at a time stays in sight while switches are pressed.
const picture = /** @type {HTMLElement} */ (document.querySelector(".picture"));
const narrow = matchMedia("(max-width: 1050px)");
const buttons = [...document.querySelectorAll(".view-choice button")].map((b) => /** @type {HTMLButtonElement} */ (b));
/** @type {string | null} what the person chose; nothing: as the screen's width suggests */
let chosen = null;

function show() {
  const shown = chosen ?? (narrow.matches ? "plan" : "all");
  picture.dataset.shown = shown;
  for (const button of buttons) button.setAttribute("aria-pressed", String(button.dataset.views === shown));
}

for (const button of buttons) {
  button.addEventListener("click", () => {
    chosen = button.dataset.views ?? null;
    show();
  });
}
narrow.addEventListener("change", show);
show();
