// One build on the bench: its text, its figures, edits one after another. Figures of another text are never shown.
import { computed, signal } from "@preact/signals";

/** How long a question for figures may wait at the server. Short: a browser opens few connections for all its tabs. */
const WAIT_S = 6;
const CALM_MS = 700;

/** @param {number} ms */
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

/** Until somebody looks at this page: a tab in the background asks for nothing. */
const lookedAt = () => new Promise((done) => {
  if (!document.hidden) done(undefined);
  else document.addEventListener("visibilitychange", () => done(undefined), { once: true });
});

/**
 * @param {string} method @param {string} path @param {any} [body]
 * @returns {Promise<{status: number, data: any}>} status 0 where the server did not answer
 */
export async function ask(method, path, body) {
  try {
    const sent = body === undefined ? {} : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
    const answer = await fetch(path, { method, ...sent });
    return { status: answer.status, data: await answer.json() };
  } catch (lost) {
    if (!(lost instanceof TypeError) && !(lost instanceof SyntaxError)) throw lost;
    return { status: 0, data: { says: "The server does not answer. What you typed is kept in this page; it tries again.", errors: [], present: null } };
  }
}

export class Bench {
  /** @param {string} id @param {string} [file]  another document of the shop, edited beside this build */
  constructor(id, file) {
    this.id = id;
    this.at = `/api/builds/${encodeURIComponent(id)}`;
    this.query = file ? `?file=${encodeURIComponent(file)}` : "";
    /** @type {import("@preact/signals").Signal<any>} */
    this.text = signal(null);
    /** @type {import("@preact/signals").Signal<any>} */
    this.figures = signal(null);
    this.says = signal("");
    this.lost = signal(false);
    this.sending = signal(0);
    /** Figures of the text that is shown, or null while they are worked out. */
    this.current = computed(() => {
      const figures = this.figures.value;
      return figures && this.text.value && this.sending.value === 0 && figures.text_digest === this.text.value.digest ? figures : null;
    });
    this.working = computed(() => !this.current.value || (this.current.value.stage !== "whole" && !this.current.value.trouble));
    /** @type {Promise<any>} */
    this.queue = Promise.resolve();
  }

  async start() {
    await this.reload();
    this.poll();
  }

  async reload() {
    const { status, data } = await ask("GET", `${this.at}/text${this.query}`);
    this.lost.value = status === 0;
    if (status === 200) this.text.value = data;
    else this.says.value = data.says;
  }

  async poll() {
    for (;;) {
      if (document.hidden) {
        await lookedAt();
        await this.reload(); // it may be another text by now
      }
      const has = this.figures.value;
      const query = new URLSearchParams({ wait_s: String(WAIT_S), revision: has?.revision ?? "", stage: has?.stage ?? "" });
      const asked = performance.now();
      const { status, data } = await ask("GET", `${this.at}/figures?${query}`);
      this.lost.value = status === 0;
      if (status === 200) {
        if (data.text_digest && this.text.value && data.text_digest !== this.text.value.digest && this.sending.value === 0) await this.reload();
        const same = has && has.revision === data.revision && has.stage === data.stage;
        if (!same) this.figures.value = data;
        if (same && performance.now() - asked < CALM_MS) await pause(CALM_MS);
      } else {
        if (status !== 0) this.says.value = data.says;
        await pause(status === 0 ? 1500 : 4000);
      }
    }
  }

  /** One change after another, each on the text that the one before gave. @param {() => Promise<{status: number, data: any}>} change */
  change(change) {
    this.sending.value += 1;
    const made = this.queue.then(async () => {
      try {
        const { status, data } = await change();
        if (status >= 200 && status < 300) {
          this.text.value = data;
          this.says.value = "";
          return { ok: true, says: "", data };
        }
        if (status === 409) {
          await this.reload();
          const says = "The file was changed on disk meanwhile, and is shown as it is now. Your change was not made: look, then make it again.";
          this.says.value = says;
          return { ok: false, says, data };
        }
        this.says.value = data.says;
        return { ok: false, says: data.says, data };
      } finally {
        this.sending.value -= 1;
      }
    });
    this.queue = made;
    return made;
  }

  /** @param {any[]} operations @param {string} why */
  edit(operations, why) {
    return this.change(() => ask("POST", `${this.at}/edits`, { seen: this.text.value.digest, operations, why }));
  }

  undo() { return this.change(() => ask("POST", `${this.at}/undo${this.query}`)); }
  redo() { return this.change(() => ask("POST", `${this.at}/redo${this.query}`)); }

  /** @param {string} text @param {string} seen */
  save(text, seen) {
    return this.change(() => ask("PUT", `${this.at}/text${this.query}`, { seen, text }));
  }

  /** Move an installed row by a small step in vehicle axes. @param {string} row @param {{x_m?: number, y_m?: number, z_m?: number}} by */
  nudge(row, by) {
    return this.change(() => ask("POST", `${this.at}/nudge`, { seen: this.text.value.digest, row, ...by }));
  }

  /** @param {string} text @param {string} base  @returns {Promise<{status: number, data: any}>} what is wrong in it */
  keep(text, base) { return ask("PUT", `${this.at}/draft${this.query}`, { base, text }); }
  forget() { return ask("DELETE", `${this.at}/draft${this.query}`); }
}

/** @type {Bench | null} */
let one = null;

/** The bench of this page: pages hold one build. */
export function benchOf() {
  const frame = document.querySelector("[data-build]");
  if (!one && frame) {
    one = new Bench(/** @type {HTMLElement} */ (frame).dataset.build ?? "");
    one.start();
  }
  return /** @type {Bench} */ (one);
}
