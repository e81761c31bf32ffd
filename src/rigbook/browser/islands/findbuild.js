// Search among the builds of the shop: words in any order, in title, customer, vehicle, file and verdict.
const field = /** @type {HTMLInputElement} */ (document.getElementById("find-build"));
const none = /** @type {HTMLElement} */ (document.getElementById("none-found"));
const cards = [...document.querySelectorAll(".build-card")].map((c) => /** @type {HTMLElement} */ (c));

field.hidden = false;
field.addEventListener("input", () => {
  const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
  let shown = 0;
  for (const card of cards) {
    const text = (card.textContent ?? "").toLowerCase();
    card.hidden = !words.every((w) => text.includes(w));
    if (!card.hidden) shown += 1;
  }
  none.hidden = shown > 0;
});
