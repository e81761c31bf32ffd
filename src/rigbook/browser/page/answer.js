// What the person answers: remarks and a decision, saved as a small file to send back.
import { el, part } from "./elements.js";

const MOST_REMARKS = 100;
const MOST_LETTERS = 2000;

/** @param {any} page */
export function answer(page) {
  const { build } = page.data;
  /** @type {{about: string, text: string}[]} */
  const remarks = [];
  const list = el("ul", { class: "remarks" });
  const about = el("input", { id: "about", maxlength: 200, autocomplete: "off" });
  const text = el("textarea", { id: "remark", rows: 3, maxlength: MOST_LETTERS });
  const name = el("input", { id: "name", maxlength: 200, autocomplete: "name", required: true });
  const date = el("input", { id: "date", type: "date", required: true });
  const says = el("p", { id: "saved", class: "says", role: "status" });
  const choices = [
    ["approved", "I approve this revision"],
    ["approved with remarks", "I approve it, with my remarks"],
    ["not approved", "Not yet: please see my remarks"],
  ].map(([value, words]) => el("label", { class: "choice-row" }, el("input", { type: "radio", name: "answer", value }), ` ${words}`));
  const draw = () => {
    list.replaceChildren(
      ...remarks.map((r, i) => el("li", {}, r.about && el("b", {}, `${r.about}. `), r.text, " ", el("button", { type: "button", class: "button small", "aria-label": `Take back remark ${i + 1}`, onclick: () => { remarks.splice(i, 1); draw(); } }, "Take back"))),
    );
  };
  const add = () => {
    const words = value(text).trim();
    if (!words || remarks.length >= MOST_REMARKS) return;
    remarks.push({ about: value(about).trim(), text: words });
    /** @type {HTMLTextAreaElement} */ (text).value = "";
    /** @type {HTMLInputElement} */ (about).value = "";
    draw();
  };
  const save = () => {
    add();
    const chosen = /** @type {HTMLInputElement | null} */ (document.querySelector("input[name=answer]:checked"));
    const missing = [!chosen && "choose one of the three answers", !value(name).trim() && "enter your name", !value(date) && "enter the date", chosen && chosen.value !== "approved" && !remarks.length && "write at least one remark"].filter(Boolean);
    if (missing.length) {
      says.textContent = `Please ${missing.join(", ")}.`;
      return;
    }
    const made = { rigbook_answer: 1, build: build.id, title: build.title, digest: build.digest, answer: /** @type {HTMLInputElement} */ (chosen).value, name: value(name).trim(), date: value(date), remarks };
    const file = `${build.id}-answer.json`;
    const link = el("a", { download: file, href: URL.createObjectURL(new Blob([JSON.stringify(made, null, 1) + "\n"], { type: "application/json" })) });
    document.body.append(link);
    link.click();
    link.remove();
    says.textContent = `Saved as ${file}, among your downloads. Send that file back to us; nothing has been sent by itself.`;
  };
  const box = el("div", { class: "answer" },
    el("p", { class: "quiet" }, "Your answer is saved as a small file on this device. Send it back to us by mail."),
    el("h2", {}, "Remarks"), list,
    el("label", { for: "about" }, "About (a switch, a lamp; may stay empty)"), about,
    el("label", { for: "remark" }, "Your remark"), text,
    el("p", {}, el("button", { type: "button", class: "button", id: "add", onclick: add }, "Add this remark")),
    el("h2", {}, "Decision"), ...choices,
    el("label", { for: "name" }, "Your name"), name,
    el("label", { for: "date" }, "Date"), date,
    el("p", {}, el("button", { type: "button", class: "button first", id: "save", onclick: save }, "Save my answer")), says,
  );
  return {
    box,
    show: () => {},
    remark: (/** @type {string} */ subject) => {
      /** @type {HTMLInputElement} */ (about).value = subject;
      part("remark").focus();
    },
  };
}

/** @param {HTMLElement} field */
const value = (field) => /** @type {HTMLInputElement} */ (field).value;
