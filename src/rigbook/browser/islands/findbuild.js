// Search among the builds of the shop: words in any order, in title, customer, vehicle, file and verdict; and where they stand.
const field = /** @type {HTMLInputElement} */ (document.getElementById("find-build"));
const none = /** @type {HTMLElement} */ (document.getElementById("none-found"));
const cards = [...document.querySelectorAll(".build-card")].map((c) => /** @type {HTMLElement} */ (c));
const stage = /** @type {HTMLSelectElement} */ (document.getElementById("find-stands"));

function find() {
  const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
  let shown = 0;
  for (const card of cards) {
    const text = [...card.querySelectorAll("h2, .verdict, p:not(.stands)")].map((e) => e.textContent).join(" ").toLowerCase();
    const stands = /** @type {HTMLSelectElement | null} */ (card.querySelector("[data-stands]"))?.value;
    card.hidden = !words.every((w) => text.includes(w)) || (stage.value !== "" && stands !== stage.value);
    if (!card.hidden) shown += 1;
  }
  none.hidden = shown > 0;
}

for (const hand of [field, stage]) {
  hand.hidden = false;
  hand.addEventListener("input", find);
}
