// Small pieces of pages: an element with its attributes and children, and a control that is kept down.

/**
 * @param {string} tag @param {Record<string, any>} [attributes] listeners begin with `on`; null, false and undefined leave one out
 * @param {...(Node | string | null | undefined | false)} children
 */
export function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children.filter((c) => c !== null && c !== undefined && c !== false));
  return made;
}

/** @param {string} id @returns {HTMLElement} */
export function part(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no part called ${id}`);
  return found;
}

/** @param {string} word */
export const spoken = (word) => word.replaceAll("_", " ").replaceAll("-", " ");

/** What must be kept down: pressed by pointer or key, let go on release, on leaving, on losing focus. @param {() => void} press @param {() => void} release */
export function kept(press, release) {
  let down = false;
  const go = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (down) return;
    down = true;
    /** @type {HTMLElement} */ (event.currentTarget).focus();
    press();
  };
  const end = () => {
    if (!down) return;
    down = false;
    release();
  };
  const isKey = (/** @type {KeyboardEvent} */ event) => event.key === " " || event.key === "Enter";
  return {
    onpointerdown: go,
    onpointerup: end,
    onpointerleave: end,
    onpointercancel: end,
    oncontextmenu: (/** @type {Event} */ e) => e.preventDefault(),
    onkeydown: (/** @type {KeyboardEvent} */ e) => isKey(e) && !e.repeat && go(e),
    onkeyup: (/** @type {KeyboardEvent} */ e) => isKey(e) && end(),
    onblur: end,
  };
}
