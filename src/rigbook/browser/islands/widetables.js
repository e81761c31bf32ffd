// A wide table on a narrow screen stands as blocks, each cell with its column's name: the name is taken from the head.
const main = /** @type {HTMLElement} */ (document.getElementById("main"));

function name() {
  for (const table of main.querySelectorAll(".wide-table table")) {
    const heads = [...table.querySelectorAll("thead th")].map((h) => h.textContent ?? "");
    if (!heads.length) continue;
    for (const cell of table.querySelectorAll("tbody td")) {
      const label = heads[/** @type {HTMLTableCellElement} */ (cell).cellIndex] ?? "";
      if (cell.getAttribute("data-label") !== label) cell.setAttribute("data-label", label);
    }
  }
}

name();
new MutationObserver(name).observe(main, { childList: true, subtree: true });
