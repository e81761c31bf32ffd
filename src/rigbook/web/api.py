"""The data interface: texts, edits, figures, catalogue, papers. Every refusal has one shape (`Trouble`).

FastAPI reads the annotations of routes as they stand: so none are postponed here.
"""

import threading
from collections.abc import Callable
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import FastAPI, Path, Query
from fastapi.responses import Response

from rigbook.desk.bench import Bench, BuildText
from rigbook.desk.catalogue import Catalogue, search
from rigbook.desk.drafts import Draft
from rigbook.desk.nudging import Step
from rigbook.documents.arranging import Operation
from rigbook.documents.editing import EditError
from rigbook.web import fitted
from rigbook.web.refusals import Refused, add_refusals, answer, errors_of
from rigbook.web.shapes import (
    CatalogueOut,
    Checked,
    Completed,
    CompleteIn,
    DraftIn,
    EditsIn,
    FieldOut,
    Made,
    NewBuildIn,
    NudgeIn,
    TextIn,
    TextOut,
    Trouble,
    WorkingOut,
)  # fmt: skip

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment
    from rigbook.desk.worker import Worked

MOST_WAITING = 16
LONGEST_WAIT_S = 25.0
BuildId = Annotated[str, Path(min_length=1, max_length=100, description="id of a build of this shop")]
FileName = Annotated[
    str | None,
    Query(max_length=120, description="another document of the shop instead of the build: shop.yaml, parts/lamps.yaml"),
]
NOT_FOUND: dict[int | str, dict[str, Any]] = {404: {"model": Trouble, "description": "no such build"}}
REFUSALS: dict[int | str, dict[str, Any]] = {
    **NOT_FOUND,
    400: {"model": Trouble, "description": "the request cannot be read, or asks by another name"},
    403: {"model": Trouble, "description": "from another site, or this server changes nothing"},
    409: {"model": Trouble, "description": "the text on disk is not the one that was seen; it stands beside"},
    413: {"model": Trouble, "description": "longer than this server takes"},
    422: {"model": Trouble, "description": "cannot be done as asked"},
}


def add_api(app: FastAPI, bench: Bench, *, read_only: bool) -> None:
    """Put the routes of the data interface on an application."""
    add_refusals(app, bench)

    def changing() -> None:
        if read_only:
            raise Refused(403, "this server was started to be read only; start it without --read-only to edit")

    _texts(app, bench, changing)
    _changes(app, bench, changing)
    _figures(app, bench)
    _catalogue(app, bench)
    _papers(app, bench)


# --- texts -------------------------------------------------------------------------------------------


def text_out(found: BuildText) -> dict[str, Any]:
    """A build's text as plain data."""
    draft = None if found.draft is None else {"text": found.draft.text, "base": found.draft.base}
    return {
        "file": found.file, "text": found.text, "digest": found.digest, "draft": draft, "undo": found.undo,
        "redo": found.redo, "sections": sections(found.text),
    }  # fmt: skip


def sections(text: str) -> list[dict[str, Any]]:
    """Where the sections of a text stand: top keys, and the keys of `switching`. None where it cannot be read."""
    from rigbook.documents.editing import readable_outline

    try:
        outline = readable_outline(text)
    except EditError:
        return []
    found: list[dict[str, Any]] = []
    switching = outline.members.get("switching")
    for prefix, part in (("", outline), ("switching.", switching)):
        for key, start in (part.keys or {}).items() if part is not None else ():
            first = text.count("\n", 0, start) + 1
            last = text.count("\n", 0, max(part.members[key].last - 1, start)) + 1 if part is not None else first
            found.append({"path": prefix + key, "first_line": first, "last_line": max(first, last)})
    return found


def _texts(app: FastAPI, bench: Bench, changing: Callable[[], None]) -> None:
    @app.get("/api/builds/{build_id}/text", response_model=TextOut, responses=REFUSALS)
    def text(build_id: BuildId, file: FileName = None) -> Any:
        """The text of a build, its digest, its draft, and what can be undone."""
        return text_out(bench.text(build_id, file))

    @app.put("/api/builds/{build_id}/text", response_model=TextOut, responses=REFUSALS)
    def save(build_id: BuildId, sent: TextIn, file: FileName = None) -> Any:
        """Save a whole text over the one that was seen; 409 where it is another by now."""
        changing()
        return text_out(bench.save(build_id, seen=sent.seen, text=sent.text, file=file))

    @app.put("/api/builds/{build_id}/draft", response_model=Checked, responses=REFUSALS)
    def draft(build_id: BuildId, sent: DraftIn, file: FileName = None) -> Any:
        """Keep unsaved typing beside the build, and say what is wrong in it."""
        changing()
        bench.keep_draft(build_id, Draft(sent.text, sent.base), file)
        return {"errors": errors_of(bench.errors_in(build_id, sent.text, file))}

    @app.delete("/api/builds/{build_id}/draft", response_model=TextOut, responses=REFUSALS)
    def forget(build_id: BuildId, file: FileName = None) -> Any:
        """Forget unsaved typing."""
        changing()
        bench.drop_draft(build_id, file)
        return text_out(bench.text(build_id, file))

    @app.post("/api/builds/{build_id}/completions", response_model=Completed, responses=REFUSALS)
    def completions(build_id: BuildId, sent: CompleteIn, file: FileName = None) -> Any:
        """What may stand at a place of a text: keys of the record there, or names."""
        from rigbook.documents.completion import complete, root_of

        build, document = bench.file_of(build_id), bench.document_of(build_id, file)
        assessment = bench.worker.now(build).assessment or bench.last_good(build)
        names = fitted.names_in(assessment, sent.text, {})
        start, options = complete(sent.text, sent.line, sent.column, names, root_of(document))
        return {"from_column": start, "options": [asdict(o) for o in options[:400]]}

    @app.get("/api/builds/{build_id}/names", responses=REFUSALS)
    def names(build_id: BuildId) -> Response:
        """Names that fields of this build may take, by kind: parts, places, feeds, tags …"""
        file = bench.file_of(build_id)
        assessment = bench.worker.now(file).assessment or bench.last_good(file)
        return answer(fitted.names_in(assessment, bench.text(build_id).text, {}))

    @app.get("/api/builds/{build_id}/views", responses=REFUSALS)
    def views(build_id: BuildId) -> Response:
        """The five views of the vehicle as drawings, and the digest of the text they belong to."""
        from rigbook.papers.screen_views import page_views, quick_map

        digest = bench.text(build_id).digest
        rig = worked(bench, build_id).rig
        assert rig is not None
        return answer({"text_digest": digest, "views": page_views(quick_map(rig))})

    @app.get("/api/schema/{record}", response_model=list[FieldOut], responses=NOT_FOUND | {422: {"model": Trouble}})
    def schema(record: Annotated[str, Path(max_length=40)]) -> Any:
        """The keys of a record of a build (install, feeds, switches, functions …): value, unit, default, meaning."""
        from rigbook.documents.completion import fields_of, record_at

        path = ["switching", record] if record in ("switches", "signals", "functions", "require", "modes") else [record]
        from rigbook.documents.schema.build import BuildDocument

        if path == [record] and record not in BuildDocument.model_fields:
            raise Refused(404, f"a build has no section {record}")
        found = record_at(path)
        return [asdict(f) for f in fields_of(found)] if found is not None else []


# --- changes -----------------------------------------------------------------------------------------


def _changes(app: FastAPI, bench: Bench, changing: Callable[[], None]) -> None:
    @app.post("/api/builds", response_model=Made, status_code=201, responses=REFUSALS)
    def new_build(sent: NewBuildIn) -> Any:
        """Write a new build file, from a vehicle or from another build."""
        changing()
        made = bench.new_build(
            build_id=sent.id, title=sent.title, customer=sent.customer, vehicle=sent.vehicle, sister=sent.build
        )
        return {"id": made}

    @app.post("/api/builds/{build_id}/edits", response_model=TextOut, responses=REFUSALS)
    def edits(build_id: BuildId, sent: EditsIn) -> Any:
        """Splice edits into the text that was seen: all of them or none."""
        changing()
        operations = [Operation(**o.model_dump()) for o in sent.operations]
        return text_out(bench.edit(build_id, seen=sent.seen, operations=operations, why=sent.why))

    @app.post("/api/builds/{build_id}/nudge", response_model=TextOut, responses=REFUSALS)
    def nudged(build_id: BuildId, sent: NudgeIn) -> Any:
        """Move one installed row by a small step in vehicle axes; 422 where its place is not its own."""
        changing()
        return text_out(bench.nudge(build_id, seen=sent.seen, row=sent.row, by=Step(sent.x_m, sent.y_m, sent.z_m)))

    @app.post("/api/builds/{build_id}/undo", response_model=TextOut, responses=REFUSALS)
    def undo(build_id: BuildId, file: FileName = None) -> Any:
        """Take the last edit back; 422 where there is none."""
        changing()
        return _stepped(bench, build_id, file, backward=True)

    @app.post("/api/builds/{build_id}/redo", response_model=TextOut, responses=REFUSALS)
    def redo(build_id: BuildId, file: FileName = None) -> Any:
        """Make the edit last taken back again; 422 where there is none."""
        changing()
        return _stepped(bench, build_id, file, backward=False)


def _stepped(bench: Bench, build_id: str, file: str | None, *, backward: bool) -> dict[str, Any]:
    found = bench.step(build_id, backward=backward, file=file)
    if found is None:
        raise Refused(422, f"there is nothing to {'undo' if backward else 'redo'}")
    return text_out(found)


# --- figures -----------------------------------------------------------------------------------------


def figures_out(bench: Bench, file: str, found: "Worked") -> dict[str, Any]:
    """What is worked out of one revision, with the digest of the text it belongs to."""
    from rigbook.assess.results_json import finding_json, to_json
    from rigbook.desk.shopfolder import text_digest

    assessment = found.assessment
    whole = found.stage == "whole" and assessment is not None and assessment.rig is not None
    content = b"" if assessment is None else assessment.loaded.files.get(file, b"")
    rig = None if assessment is None else assessment.rig
    return {
        "revision": found.revision,
        "stage": found.stage,
        "text_digest": text_digest(content) if assessment is not None else None,
        "trouble": found.trouble,
        "errors": [] if assessment is None else errors_of(assessment.errors),
        "verdict": assessment.verdict if whole and assessment is not None else None,
        "findings": [] if assessment is None else [finding_json(f) for f in assessment.findings],
        "first": None if rig is None else fitted.first_figures(rig),
        "written": fitted.written(content.decode("utf-8", "replace")),
        "worked": None if rig is None else fitted.worked_rows(rig),
        "clauses": [] if assessment is None else fitted.clauses(assessment.loaded),
        "report": to_json(assessment) if whole and assessment is not None else None,
    }


def _figures(app: FastAPI, bench: Bench) -> None:
    waiting = threading.BoundedSemaphore(MOST_WAITING)

    @app.get("/api/builds/{build_id}/figures", responses=REFUSALS)
    def figures(
        build_id: BuildId,
        revision: Annotated[str, Query(max_length=64, description="the revision the reader has")] = "",
        stage: Annotated[str, Query(max_length=10, description="the stage the reader has")] = "",
        wait_s: Annotated[float, Query(ge=0, le=LONGEST_WAIT_S)] = 0.0,
    ) -> Response:
        """Figures of the present text as far as they are worked out. Waits until there is more than the reader has."""
        file = bench.file_of(build_id)
        if wait_s > 0 and waiting.acquire(blocking=False):
            try:
                found = bench.worker.after(file, revision=revision, stage=stage, wait_s=wait_s)
            finally:
                waiting.release()
        else:
            found = bench.worker.now(file)
        return answer(figures_out(bench, file, found))

    @app.get("/api/builds/{build_id}/switching", responses=REFUSALS)
    def switching(build_id: BuildId) -> Response:
        """Per device its decision list in plain words, and what was proved."""
        rig = worked(bench, build_id).rig
        assert rig is not None
        return answer({"devices": fitted.decision_lists(rig), "report": report_of(bench, build_id)["switching"]})

    @app.get("/api/builds/{build_id}/explain", response_model=WorkingOut, responses=REFUSALS)
    def explained(build_id: BuildId, of: Annotated[str, Query(min_length=1, max_length=300)]) -> Any:
        """One finding or figure worked through like a hand calculation."""
        from rigbook.assess.explain import UnknownFigure, explain
        from rigbook.assess.text import explanation_lines

        assessment = worked(bench, build_id)
        try:
            found = explain(assessment, of)
        except UnknownFigure as unknown:
            raise Refused(404, str(unknown)) from unknown
        finding = None if found.finding is None else found.finding.says
        return {"id": found.id, "finding": finding, "lines": list(explanation_lines(found))}


def worked(bench: Bench, build_id: str) -> "Assessment":
    """Everything of a build, or a refusal that lists the errors of its documents."""
    assessment = bench.worker.whole(bench.file_of(build_id))
    if assessment.rig is None:
        errors = errors_of(assessment.errors)
        raise Refused(422, f"the build cannot be worked out: {errors[0]['says']}", errors=errors)
    return assessment


def report_of(bench: Bench, build_id: str) -> dict[str, Any]:
    """What `check --json` prints."""
    from rigbook.assess.results_json import to_json

    return to_json(worked(bench, build_id))


# --- catalogue ---------------------------------------------------------------------------------------


def _catalogue(app: FastAPI, bench: Bench) -> None:
    catalogue = Catalogue(bench.shop)

    @app.get("/api/catalogue", response_model=CatalogueOut, responses={422: {"model": Trouble}})
    def found_parts(
        words: Annotated[str, Query(max_length=100)] = "",
        kind: Annotated[str, Query(max_length=60)] = "",
        colour: Annotated[str, Query(max_length=60)] = "",
        most_a: Annotated[float | None, Query(ge=0, le=10_000, allow_inf_nan=False)] = None,
        first: Annotated[int, Query(ge=0, le=1_000_000)] = 0,
        count: Annotated[int, Query(ge=1, le=100)] = 25,
    ) -> Any:
        """Search the shop's parts by words and filters."""
        from rigbook.quantities.show import format_money

        rows, currency = catalogue.rows()
        found = search(rows, words=words, kind=kind, colour=colour, most_a=most_a, first=first, count=count)
        return {
            "parts": [
                {
                    "id": r.id, "kind": r.kind, "title": r.title, "colours": list(r.colours), "current_a": r.current_a,
                    "mass_kg": r.mass_kg, "cost": format_money(r.cost, currency) if r.cost else None,
                    "list_price": format_money(r.list_price, currency) if r.list_price else None,
                }
                for r in found.rows
            ],
            "total": found.total, "kinds": dict(found.kinds), "colours": dict(found.colours),
        }  # fmt: skip

    @app.get("/api/vehicles", responses={})
    def vehicles() -> Response:
        """Vehicles a build may begin from."""
        return answer(bench.vehicles())


# --- papers ------------------------------------------------------------------------------------------


def _papers(app: FastAPI, bench: Bench) -> None:
    from rigbook.web.papers import add_papers

    add_papers(app, bench, refused=Refused, worked=worked, refusals=REFUSALS, answer=answer)
