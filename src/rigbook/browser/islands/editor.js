// A text editor for builds: line numbers, errors at the word, completion from the server. Lives in a shadow root, so that
// its styles are sheets of the script's own and the page's content policy stays closed.
import { autocompletion, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, indentLess, indentMore } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { HighlightStyle, indentUnit, syntaxHighlighting } from "@codemirror/language";
import { lintGutter, lintKeymap, setDiagnostics } from "@codemirror/lint";
import { Compartment, EditorState } from "@codemirror/state";
import { drawSelection, EditorView, highlightActiveLine, highlightActiveLineGutter, keymap, lineNumbers } from "@codemirror/view";
import { tags } from "@lezer/highlight";
import { ask } from "./bench.js";

const look = EditorView.theme({
  "&": { height: "100%", backgroundColor: "var(--surface)", color: "var(--ink)", fontSize: "14px" },
  ".cm-scroller": { fontFamily: "'DejaVu Sans Mono', ui-monospace, Menlo, Consolas, monospace", lineHeight: "1.5", overflow: "auto" },
  ".cm-content": { caretColor: "var(--ink)", padding: "8px 0" },
  "&.cm-focused": { outline: "3px solid var(--focus)", outlineOffset: "1px" },
  ".cm-gutters": { backgroundColor: "var(--raised)", color: "var(--quiet)", border: "0", borderRight: "1px solid var(--rule)" },
  ".cm-activeLine, .cm-activeLineGutter": { backgroundColor: "var(--line-back)" },
  ".cm-cursor": { borderLeftColor: "var(--ink)", borderLeftWidth: "2px" },
  "&.cm-focused .cm-selectionBackground, .cm-selectionBackground": { background: "var(--select-back) !important" },
  ".cm-tooltip": { backgroundColor: "var(--surface)", color: "var(--ink)", border: "1px solid var(--strong-rule)", borderRadius: "4px", maxWidth: "min(460px, 90vw)" },
  ".cm-tooltip-autocomplete ul li": { padding: "5px 8px" },
  ".cm-tooltip-autocomplete ul li[aria-selected]": { backgroundColor: "var(--accent)", color: "var(--on-accent)" },
  ".cm-completionDetail": { color: "inherit", fontStyle: "normal", opacity: "0.8", marginLeft: "1.5em" },
  ".cm-completionInfo": { padding: "6px 10px" },
  ".cm-diagnostic": { padding: "6px 10px", borderLeft: "4px solid var(--fail)", fontFamily: "Rigbook, sans-serif" },
  ".cm-lintRange-error": { backgroundImage: "none", textDecoration: "underline wavy var(--fail)", textUnderlineOffset: "3px" },
  ".cm-diagnosticText": { whiteSpace: "normal" },
});
const inks = HighlightStyle.define([
  { tag: tags.comment, color: "var(--quiet)", fontStyle: "italic" },
  { tag: [tags.propertyName, tags.definition(tags.propertyName)], color: "var(--accent)", fontWeight: "600" },
  { tag: tags.string, color: "var(--ink)" },
  { tag: [tags.punctuation, tags.separator, tags.brace, tags.squareBracket], color: "var(--quiet)" },
]);

/** @param {string} at  address of the build's data @param {string} query  names another document @param {() => {whole: (part: string) => string, offset: number}} around */
function source(at, query, around) {
  return async (/** @type {any} */ context) => {
    const line = context.state.doc.lineAt(context.pos);
    const word = context.matchBefore(/[\w.-]*/);
    if (!context.explicit && (!word || word.from === word.to)) return null;
    const { whole, offset } = around();
    const { status, data } = await ask("POST", `${at}/completions${query}`, {
      text: whole(context.state.doc.toString()), line: line.number + offset, column: context.pos - line.from + 1,
    });
    if (status !== 200 || !data.options.length) return null;
    return {
      from: line.from + data.from_column - 1,
      options: data.options.map((/** @type {any} */ o) => ({
        label: o.label, detail: o.detail, info: o.about || undefined, apply: o.kind === "key" ? `${o.label}: ` : o.label,
        type: o.kind === "key" ? "property" : "constant", boost: o.kind === "key" ? 1 : 0,
      })),
      validFor: /^[\w.-]*$/,
    };
  };
}

export class TextEditor {
  /**
   * @param {HTMLElement} host
   * @param {{text: string, firstLine?: number, label: string, at: string, query?: string, readOnly?: boolean, whole?: (part: string) => string,
   *   onInput?: (text: string) => void, onSave?: () => void}} given
   */
  constructor(host, given) {
    this.firstLine = given.firstLine ?? 1;
    const root = host.shadowRoot ?? host.attachShadow({ mode: "open" });
    root.innerHTML = "";
    this.frozen = new Compartment();
    const numbers = lineNumbers({ formatNumber: (n) => String(n + this.firstLine - 1) });
    this.view = new EditorView({
      root,
      parent: root,
      state: EditorState.create({
        doc: given.text,
        extensions: [
          numbers, lintGutter(), history(), drawSelection(), highlightActiveLine(), highlightActiveLineGutter(), yaml(), indentUnit.of("  "),
          syntaxHighlighting(inks), look, EditorState.tabSize.of(2),
          autocompletion({ override: [source(given.at, given.query ?? "", () => ({ whole: given.whole ?? ((t) => t), offset: this.firstLine - 1 }))], icons: false }),
          EditorView.contentAttributes.of({ "aria-label": given.label, spellcheck: "false", tabindex: "0" }),
          this.frozen.of(EditorState.readOnly.of(given.readOnly ?? false)),
          keymap.of([
            { key: "Mod-s", run: () => { given.onSave?.(); return true; }, preventDefault: true },
            { key: "Mod-]", run: indentMore }, { key: "Mod-[", run: indentLess },
            ...completionKeymap, ...lintKeymap, ...historyKeymap, ...defaultKeymap,
          ]),
          EditorView.updateListener.of((update) => {
            if (update.docChanged && !this.setting) given.onInput?.(update.state.doc.toString());
          }),
        ],
      }),
    });
    this.setting = false;
  }

  get text() { return this.view.state.doc.toString(); }

  /** @param {string} text */
  set(text) {
    if (text === this.text) return;
    this.setting = true;
    this.view.dispatch({ changes: { from: 0, to: this.view.state.doc.length, insert: text } });
    this.setting = false;
  }

  /** @param {{line: number, column: number, says: string, found: string | null}[]} errors  of this file */
  mark(errors) {
    const doc = this.view.state.doc;
    const marks = errors.flatMap((error) => {
      const number = error.line - this.firstLine + 1;
      if (number < 1 || number > doc.lines) return [];
      const line = doc.line(number);
      const from = Math.min(line.from + Math.max(error.column - 1, 0), line.to);
      const rest = doc.sliceString(from, line.to);
      const found = error.found && rest.startsWith(error.found) ? error.found.length : (/^[^\s,}\]]+/.exec(rest)?.[0].length ?? 0);
      return [{ from, to: Math.min(Math.max(from + found, from), line.to), severity: /** @type {"error"} */ ("error"), message: error.says }];
    });
    this.view.dispatch(setDiagnostics(this.view.state, marks.sort((a, b) => a.from - b.from)));
  }

  /** @param {number} line  of the whole text */
  go(line) {
    const doc = this.view.state.doc;
    const at = doc.line(Math.min(Math.max(line - this.firstLine + 1, 1), doc.lines)).from;
    this.view.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: "center" }) });
    this.view.focus();
  }

  destroy() { this.view.destroy(); }
}
