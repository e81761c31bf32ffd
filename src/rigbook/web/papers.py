"""Papers to see and to fetch: the book, the sheets, the drawings.

FastAPI reads the annotations of routes as they stand: so none are postponed here.
"""

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import FastAPI, Path
from fastapi.responses import Response

from rigbook.desk.bench import Bench

SHEET_WORDS = {
    "equipment": "What to pick, by place.", "circuits": "Every circuit: wire, fuse, currents, drop.",
    "conductors": "Every wire from end to end.", "feeds": "Fused lines, battery outward.",
    "weights": "What each thing adds, and where.", "states": "Amperes and margin state by state.",
    "functions": "What each function does, and when.", "labels": "What stands on each label.",
    "quote": "Parts, hours, options, sums.", "switches": "What each position does, tried out.", "lamps": "Every lamp, its place and aim.",
    "fuses": "Every fuse: rating, form, what it protects.", "loads": "What draws how much.", "wires": "Wire to buy, by size and colour.",
    "supply": "Power by state.", "day": "The batteries through the day.", "day-curve": "The chart of the day as numbers.",
    "endurance": "How long states last with the engine off.",
    "bundles": "Conductors that run together.", "harness": "Every lead to cut, end to end.", "leads": "Leads of the devices.",
    "pins": "Cavity by cavity.", "inputs": "What each controller input hears.", "programming": "Every output and its decision list.",
    "warning": "Optical power by mode, zone and level.", "warning-grid": "Optical power around the vehicle, by angle.",
    "observers": "What is seen from where.", "areas": "Light on each area.", "ground": "Light on the ground, point by point.",
    "axles": "Loads in every loading.", "drill": "Holes to drill, from two edges.", "inspection": "Steps of the final inspection.",
}  # fmt: skip
DRAWING_WORDS = {
    "lamp-map": "Five views to scale with every lamp, its colours and aim.",
    "fuse-map": "Every fuse block as it looks, and the fuses in the line.",
    "panels": "The crew's switch panels, dimensioned, with their legends.",
    "faces": "Every face with its cut-outs, dimensioned: front, section, holes.",
    "balance": "The centre of gravity on the vehicle in every loading.",
    "lids": "Lids on gas springs from the side.",
    "ground": "Light on the ground by state, with contour lines.",
    "one-line": "Banks, feeds, fuses and loads on one line.", "time-current": "When each fuse opens, against its wire.",
    "day": "Charge of the banks through the working day.", "around": "Optical power around the vehicle, by colour.",
    "colours": "Colours of the parts against the printed boundaries.",
    "view-plan": "One view, large.", "view-left": "One view, large.", "view-right": "One view, large.",
    "view-front": "One view, large.", "view-rear": "One view, large.",
    "markings": "Reflective markings of each side, and the strips on their rolls.",
    "timing": "What flashes when, one diagram a function.", "labels": "Labels of wires and fuses, on the shop's stock.",
}  # fmt: skip
TYPES = {
    "pdf": "application/pdf", "svg": "image/svg+xml", "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "dxf": "image/vnd.dxf",
    "html": "text/html; charset=utf-8",
}  # fmt: skip


def papers_of(build_id: str) -> list[dict[str, Any]]:
    """Every paper this edition makes: the book, drawings, sheets."""
    from rigbook.papers.drawings import DRAWINGS
    from rigbook.papers.paper_sheets import PAPER_SHEETS
    from rigbook.papers.sheets import SHEETS

    at = f"/api/builds/{build_id}/papers"
    rows: list[dict[str, Any]] = [
        {"id": "book", "title": "Build book", "group": "Book", "about": "Everything of this build on paper, findings first.",
         "preview": f"{at}/book.pdf?shown=true", "files": {"pdf": f"{at}/book.pdf"}},
        {"id": "page", "title": "Stand-alone page", "group": "Book", "preview": None, "files": {"html": f"{at}/page.html"},
         "about": "For the customer: opens from a mail, tries the switches, answers. One file, without prices."},
    ]  # fmt: skip
    for name, drawing in DRAWINGS.items():
        svg = f"{at}/drawings/{name}.svg"
        rows.append(
            {"id": name, "title": drawing.title, "group": "Drawings", "about": DRAWING_WORDS.get(name, ""),
             "preview": svg, "files": {"svg": svg, "pdf": f"{at}/drawings/{name}.pdf"}}
        )  # fmt: skip
    for name in (*SHEETS, *(n for n in PAPER_SHEETS if n not in SHEETS)):
        files = {form: f"{at}/sheets/{name}.{form}" for form in ("csv", "xlsx")}
        rows.append(
            {"id": f"sheet-{name}", "title": name.capitalize().replace("-", " "), "group": "Sheets",
             "about": SHEET_WORDS.get(name, ""), "preview": f"{at}/sheets/{name}", "files": files}
        )  # fmt: skip
    return rows


def add_papers(
    app: FastAPI,
    bench: Bench,
    *,
    refused: Any,
    worked: Callable[..., Any],
    refusals: Any,
    answer: Callable[..., Response],
) -> None:
    """Put the routes of papers on an application."""
    from rigbook.web.shapes import PaperOut

    BuildId = Annotated[str, Path(min_length=1, max_length=100)]
    Name = Annotated[str, Path(min_length=1, max_length=60)]

    def file(content: bytes, name: str, *, shown: bool = False) -> Response:
        form = name.rsplit(".", 1)[-1]
        how = "inline" if shown else "attachment"
        headers = {"content-disposition": f'{how}; filename="{name}"', "cache-control": "no-store"}
        return Response(content, media_type=TYPES[form], headers=headers)

    @app.get("/api/builds/{build_id}/papers", response_model=list[PaperOut], responses=refusals)
    def papers(build_id: BuildId) -> Any:
        """Every paper, with where to see it and where to fetch it."""
        bench.file_of(build_id)
        return papers_of(build_id)

    @app.get("/api/builds/{build_id}/papers/book.pdf", response_class=Response, responses=refusals)
    def book_pdf(build_id: BuildId, shown: bool = False) -> Response:
        """The build book as PDF, to keep or (`shown`) to look at."""
        from rigbook.papers.book import book

        return file(book(worked(bench, build_id)), f"{build_id}-book.pdf", shown=shown)

    @app.get("/api/builds/{build_id}/papers/page.html", response_class=Response, responses=refusals)
    def stand_alone(build_id: BuildId) -> Response:
        """The page that a customer opens from a mail."""
        from rigbook.assess.results_json import to_json
        from rigbook.papers.chapter import Desk
        from rigbook.papers.page import stand_alone_page

        assessment = worked(bench, build_id)
        return file(stand_alone_page(Desk(assessment, to_json(assessment))), f"{build_id}.html")

    @app.get("/api/builds/{build_id}/papers/drawings/{name}.{form}", response_class=Response, responses=refusals)
    def drawing(build_id: BuildId, name: Name, form: Annotated[str, Path(max_length=5)]) -> Response:
        """One drawing as .svg or .pdf."""
        from rigbook.assess.results_json import to_json
        from rigbook.papers.drawings import DRAWINGS, drawing_pdf, drawing_svg

        if name not in DRAWINGS or form not in ("svg", "pdf"):
            raise refused(404, "there is no such drawing; see the list of papers")
        assessment = worked(bench, build_id)
        made = (drawing_svg if form == "svg" else drawing_pdf)(name, assessment.rig, to_json(assessment))
        return file(made, f"{build_id}-{name}.{form}", shown=form == "svg")

    @app.get("/api/builds/{build_id}/papers/faces/{face}.{form}", response_class=Response, responses=refusals)
    def face_file(
        build_id: BuildId, face: Name, form: Annotated[str, Path(max_length=5)], r12: bool = False
    ) -> Response:
        """One face as .svg or .pdf drawing, or as .dxf cut file."""
        from rigbook.assess.results_json import to_json
        from rigbook.papers.cut_files import CannotCut, cut_file
        from rigbook.papers.drawings import face_drawing

        assessment = worked(bench, build_id)
        if form not in ("svg", "pdf", "dxf") or face not in {panel.id for panel in assessment.rig.build.panels}:
            raise refused(404, "there is no such face; see the Body page")
        try:
            made = (
                cut_file(assessment.rig, face, old=r12)
                if form == "dxf"
                else face_drawing(face, assessment.rig, to_json(assessment), pdf=form == "pdf")
            )
        except CannotCut as wrong:
            raise refused(422, str(wrong)) from wrong
        return file(made, f"{build_id}-{face}.{form}", shown=form == "svg")

    @app.get("/api/builds/{build_id}/papers/sheets/{name}.{form}", response_class=Response, responses=refusals)
    def sheet_file(build_id: BuildId, name: Name, form: Annotated[str, Path(max_length=5)]) -> Response:
        """One sheet as .csv or .xlsx."""
        from rigbook.papers.paper_sheets import PAPER_SHEETS
        from rigbook.papers.sheet_files import csv_bytes, xlsx_bytes
        from rigbook.papers.sheets import SHEETS, sheet

        if (name not in SHEETS and name not in PAPER_SHEETS) or form not in ("csv", "xlsx"):
            raise refused(404, "there is no such sheet; see the list of papers")
        table = sheet(name, worked(bench, build_id))
        return file(csv_bytes(table) if form == "csv" else xlsx_bytes(table), f"{build_id}-{name}.{form}")

    @app.get("/api/builds/{build_id}/papers/sheets/{name}", responses=refusals)
    def sheet_rows(build_id: BuildId, name: Name) -> Response:
        """One sheet to look at: its headers and rows."""
        from rigbook.papers.paper_sheets import PAPER_SHEETS
        from rigbook.papers.sheets import SHEETS, sheet

        if name not in SHEETS and name not in PAPER_SHEETS:
            raise refused(404, "there is no such sheet; see the list of papers")
        table = sheet(name, worked(bench, build_id))
        return answer({"title": table.title, "columns": [c.header for c in table.columns], "rows": table.rows})
