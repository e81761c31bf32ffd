// Search in the shop's parts, and one part put where it goes.
import { h } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import htm from "htm";
import { ask } from "./bench.js";

const html = htm.bind(h);
const TYPING_MS = 120;

/** @param {{places: string[], free: (wanted: string) => string, onAdd: (part: string, id: string, place: string) => Promise<string>}} given */
export function Catalogue({ places, free, onAdd }) {
  const [words, setWords] = useState("");
  const [kind, setKind] = useState("");
  const [colour, setColour] = useState("");
  const [found, setFound] = useState(/** @type {any} */ (null));
  const [chosen, setChosen] = useState(/** @type {any} */ (null));
  const [id, setId] = useState("");
  const [place, setPlace] = useState("");
  const [says, setSays] = useState("");
  const latest = useRef(0);
  const search = useRef(/** @type {any} */ (null));

  useEffect(() => { search.current?.focus(); }, []);
  // with the form, not a frame later: by then somebody quick types elsewhere
  useLayoutEffect(() => { if (chosen) document.getElementById("add-id")?.focus(); }, [chosen]);
  useEffect(() => {
    const timer = setTimeout(async () => {
      const turn = ++latest.current;
      const { status, data } = await ask("GET", `/api/catalogue?${new URLSearchParams({ words, kind, colour, count: "40" })}`);
      if (turn !== latest.current) return;
      if (status === 200) setFound(data);
      else setSays(data.says);
    }, TYPING_MS);
    return () => clearTimeout(timer);
  }, [words, kind, colour]);

  const take = (/** @type {any} */ part) => {
    setChosen(part);
    setId(free(part.kind === "lamp" ? "lamp" : part.kind));
    setSays("");
  };
  const put = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const problem = await onAdd(chosen.id, id.trim(), place.trim());
    setSays(problem || `${id} is fitted.`);
    if (!problem) { setChosen(null); setPlace(""); search.current?.focus(); }
  };
  const options = (/** @type {Record<string, number>} */ counts, /** @type {string} */ now) => [...new Set([...Object.keys(counts), ...(now ? [now] : [])])].map((k) => html`<option value=${k}>${k} (${counts[k] ?? 0})</option>`);

  return html`<section class="catalogue" aria-label="Catalogue">
    <div class="catalogue-search">
      <div class="field"><label for="catalogue-words">Search the catalogue</label><input id="catalogue-words" ref=${search} type="search" value=${words} placeholder="surface nine blue" onInput=${(/** @type {any} */ e) => setWords(e.target.value)} /></div>
      <div class="field"><label for="catalogue-kind">Kind</label><select id="catalogue-kind" value=${kind} onChange=${(/** @type {any} */ e) => setKind(e.target.value)}><option value="">all</option>${options(found?.kinds ?? {}, kind)}</select></div>
      <div class="field"><label for="catalogue-colour">Colour</label><select id="catalogue-colour" value=${colour} onChange=${(/** @type {any} */ e) => setColour(e.target.value)}><option value="">all</option>${options(found?.colours ?? {}, colour)}</select></div>
    </div>
    ${chosen ? html`<form class="place-form" onSubmit=${put}><p><b>${chosen.title}</b> <code>${chosen.id}</code></p>
      <div class="field"><label for="add-id">id</label><input id="add-id" required pattern="[a-z][a-z0-9_\\-]*" value=${id} onInput=${(/** @type {any} */ e) => setId(e.target.value)} /><p class="quiet">Small letters, digits, - and _.</p></div>
      <div class="field"><label for="add-place">place</label><input id="add-place" required list="add-places" value=${place} placeholder="grille-left" onInput=${(/** @type {any} */ e) => setPlace(e.target.value)} /><p class="quiet">A place of the vehicle, or [x, y, z]: back from the front axle, to the right, up, such as [0.5 m, -0.3 m, 0.9 m].</p></div>
      <datalist id="add-places">${places.map((p) => html`<option value=${p}></option>`)}</datalist>
      <p class="row-hands"><button class="button first" id="add-here">Fit it here</button> <button class="button" type="button" onClick=${() => setChosen(null)}>Another part</button></p></form>`
    : found ? html`<p class="quiet" role="status">${found.total} part${found.total === 1 ? "" : "s"}${found.total > found.parts.length ? `, the first ${found.parts.length} here` : ""}</p>
      <ul class="parts">${found.parts.map((/** @type {any} */ p) => html`<li key=${p.id}><div><b>${p.title}</b><span class="quiet"><code>${p.id}</code> ${p.kind}${p.colours.length ? ` · ${p.colours.join(", ")}` : ""}${p.current_a === null ? "" : ` · ${p.current_a} A`} · ${p.mass_kg} kg${p.list_price || p.cost ? ` · ${p.list_price ?? p.cost}` : ""}</span></div>
        <button class="button small" aria-label=${`Fit ${p.id}`} onClick=${() => take(p)}>Fit…</button></li>`)}</ul>
      ${found.total ? null : html`<p class="empty">No part holds all of that. Fewer words, or another kind or colour, finds more; new parts are written into <code>parts/</code>.</p>`}` : html`<p class="quiet">Loading…</p>`}
    ${says ? html`<p class=${says.endsWith("is fitted.") ? "notice" : "refused"} role="status">${says}</p>` : null}
  </section>`;
}
