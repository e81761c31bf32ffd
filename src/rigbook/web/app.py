"""The workbench: a FastAPI application over one shop folder.

FastAPI is imported where an application is made, and reads the routes' annotations as they stand: so no postponed
annotations in this module.
"""

import gc
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

from rigbook.web.assets import Asset, asset_table, import_map, import_map_hash
from rigbook.web.guards import Guard, content_policy
from rigbook.web.reading import Problems, Reading, Worked

if TYPE_CHECKING:
    from fastapi import FastAPI
    from fastapi.responses import Response

VERDICT_WORDS = {"pass": "✓ pass", "caution": "! caution", "fail": "✕ fail", "error": "✕ cannot be read"}


def create_app(folder: Path | str, *, read_only: bool = False, hosts: tuple[str, ...] = ()) -> "FastAPI":
    """The application that serves one shop folder.

    Args:
        folder: the shop folder.
        read_only: refuse every change.
        hosts: names this server may be asked by, beside those of loopback.

    Raises:
        rigbook.desk.shopfolder.NotAShop: the folder holds no shop.
    """
    from fastapi import FastAPI

    from rigbook.web.api import add_api
    from rigbook.web.light import add_light
    from rigbook.web.power import add_power

    app = FastAPI(
        title="Rigbook", docs_url=None, redoc_url=None, openapi_url="/api/openapi.json", lifespan=_undisturbed
    )
    app.state.reading = Reading(Path(folder))
    app.state.read_only = read_only
    app.add_middleware(Guard, hosts=hosts, policy=content_policy(import_map_hash=import_map_hash()))
    _pages(app, app.state.reading, read_only=read_only)
    add_api(app, app.state.reading.bench, read_only=read_only)
    add_power(app, app.state.reading.bench)
    _api(app, app.state.reading)
    add_light(app, app.state.reading)
    _assets(app, asset_table())
    return app


@asynccontextmanager
async def _undisturbed(_app: "FastAPI") -> AsyncIterator[None]:
    """While the server runs: no walk through everything it holds between an edit and its figures.

    A full collection of cycles takes as long as the first figures themselves. It is made when nobody has edited for a
    while (`Worker`), and otherwise seldom.
    """
    before = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


# --- pages -----------------------------------------------------------------------------------------------------------


def _renderer() -> Any:
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(
            lambda name: resources.files("rigbook.web").joinpath("templates", name).read_text(encoding="utf-8")
        ),
        undefined=jinja2.StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals["import_map"] = import_map()
    return environment


def _pages(app: "FastAPI", reading: Reading, *, read_only: bool) -> None:
    from fastapi.responses import HTMLResponse

    pages = _renderer()

    def page(name: str, status: int = 200, **values: Any) -> HTMLResponse:
        body = pages.get_template(name).render(shop_title=reading.shop_title(), **values)
        return HTMLResponse(body, status_code=status, headers={"cache-control": "no-store"})

    def missing(words: str) -> HTMLResponse:
        return page("problems.html", 404, title="Not here", lead=words, problems=[])

    def broken(found: Problems) -> HTMLResponse:
        return page(
            "problems.html",
            200,
            title=f"{found.file} cannot be worked out",
            lead="Nothing is worked out until these are mended. Each names its place in the text.",
            problems=found.problems,
        )

    @app.get("/", response_class=HTMLResponse, include_in_schema=False)
    def shop() -> HTMLResponse:
        from rigbook.documents.schema.build import Build

        rows = [dict(row, verdict_word=VERDICT_WORDS[row["verdict"]]) for row in reading.rows()]
        first = next((row["id"] for row in rows if row["verdict"] != "error"), rows[0]["id"] if rows else None)
        return page(
            "shop.html", rows=rows, vehicles=reading.bench.vehicles(), read_only=read_only, first=first,
            documents=reading.bench.documents(), stages=get_args(Build.model_fields["stands"].annotation),
        )  # fmt: skip

    @app.get("/builds/{build_id}", response_class=HTMLResponse, include_in_schema=False)
    def vehicle(build_id: str) -> HTMLResponse:
        found = reading.work(build_id)
        if found is None:
            return missing(f"No build of this shop has the id {build_id}.")
        if isinstance(found, Problems):
            return broken(found)
        return page(
            "vehicle.html", here="vehicle", text_digest=reading.bench.text(build_id).digest, **_vehicle_values(found)
        )

    def bench_page(build_id: str, name: str, **more: Any) -> HTMLResponse:
        head = reading.head(build_id)
        if head is None:
            return missing(f"No build of this shop has the id {build_id}.")
        return page(f"{name}.html", here=name, read_only=read_only, **head, **more)

    @app.get("/builds/{build_id}/fit", response_class=HTMLResponse, include_in_schema=False)
    def fit(build_id: str) -> HTMLResponse:
        return bench_page(build_id, "fit")

    @app.get("/builds/{build_id}/switching", response_class=HTMLResponse, include_in_schema=False)
    def switching(build_id: str) -> HTMLResponse:
        return bench_page(build_id, "switching")

    @app.get("/builds/{build_id}/light", response_class=HTMLResponse, include_in_schema=False)
    def light(build_id: str) -> HTMLResponse:
        from rigbook.papers.spelling import spelled
        from rigbook.web.light import page_values

        found = reading.work(build_id)
        if found is None:
            return missing(f"No build of this shop has the id {build_id}.")
        if isinstance(found, Problems):
            return broken(found)
        words = spelled("Colours", found.rig.shop.units)
        return bench_page(build_id, "light", colours_word=words, **page_values(found.rig, found.report))

    @app.get("/builds/{build_id}/power", response_class=HTMLResponse, include_in_schema=False)
    def power(build_id: str) -> HTMLResponse:
        return bench_page(build_id, "power")

    @app.get("/builds/{build_id}/body", response_class=HTMLResponse, include_in_schema=False)
    def body(build_id: str) -> HTMLResponse:
        from rigbook.web.body import page_values

        found = reading.work(build_id)
        if found is None:
            return missing(f"No build of this shop has the id {build_id}.")
        if isinstance(found, Problems):
            return broken(found)
        return bench_page(build_id, "body", **page_values(found.rig))

    @app.get("/builds/{build_id}/papers", response_class=HTMLResponse, include_in_schema=False)
    def papers(build_id: str) -> HTMLResponse:
        from rigbook.web.papers import papers_of

        found = reading.work(build_id)
        problems = found.problems if isinstance(found, Problems) else ()
        return bench_page(build_id, "papers", papers=papers_of(build_id), problems=problems)

    @app.get("/builds/{build_id}/text", response_class=HTMLResponse, include_in_schema=False)
    def text(build_id: str, file: str | None = None) -> HTMLResponse:
        head = reading.head(build_id)
        if head is not None and file in (None, head["build_file"]):
            return bench_page(build_id, "editor", document=None, lines=reading.lines(head["build_file"]) or [])
        lines = reading.lines(file or "")
        if lines is None or head is None:
            return missing("No such text in this shop.")
        if file in reading.bench.documents():
            return bench_page(build_id, "editor", document=file, lines=lines)
        return page("text.html", file=file, lines=lines, build_id=build_id)


def _vehicle_values(found: Worked) -> dict[str, Any]:
    from rigbook.papers.lampmap import colour_letters
    from rigbook.papers.screen_views import page_views
    from rigbook.web.pointing import pointer

    rig, report, drawn = found.rig, found.report, found.drawn
    lamps = {mark.device_id for view in drawn.views for mark in view.marks}
    return {
        "build": report["build"],
        "customer": rig.build.build.customer,
        "vehicle_title": rig.vehicle.title,
        "build_file": rig.build_file,
        "verdict": report["verdict"],
        "verdict_word": VERDICT_WORDS[report["verdict"]],
        "findings": [f | {"pointer": pointer(rig, f, lamps)} for f in report["findings"]],
        "views": page_views(drawn),
        "letters": colour_letters(rig),
        "key": drawn.key if drawn.numbered else (),
    }


# --- data ------------------------------------------------------------------------------------------------------------


def _answer(value: Any, status: int = 200) -> "Response":
    from fastapi.responses import Response

    body = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(body, status_code=status, media_type="application/json", headers={"cache-control": "no-store"})


def _api(app: "FastAPI", reading: Reading) -> None:
    from fastapi.responses import Response

    def respond(build_id: str, what: str) -> Response:
        found = reading.work(build_id)
        if found is None:
            return _answer(
                {"rigbook": 1, "says": f"no build of this shop has the id {build_id}", "errors": [], "present": None},
                404,
            )
        if isinstance(found, Problems):
            says = f"the build cannot be worked out: {found.problems[0].says}"
            return _answer({"rigbook": 1, "says": says, "errors": found.errors, "present": None}, 422)
        return _answer(found.report if what == "assessment" else found.program_page())

    @app.get("/api/builds")
    def builds() -> Response:
        """The builds of this shop with their verdicts."""
        return _answer(reading.rows())

    @app.get(
        "/api/builds/{build_id}",
        responses={404: {"description": "no such build"}, 422: {"description": "errors of the document"}},
    )
    def assessment(build_id: str) -> Response:
        """What `check --json` prints for this build."""
        return respond(build_id, "assessment")

    @app.get(
        "/api/builds/{build_id}/program",
        responses={404: {"description": "no such build"}, 422: {"description": "errors of the document"}},
    )
    def program(build_id: str) -> Response:
        """The compiled switching program, and the layout the vehicle page shows it with."""
        return respond(build_id, "program")


def _assets(app: "FastAPI", table: dict[str, Asset]) -> None:
    from fastapi import Request
    from fastapi.responses import PlainTextResponse, Response

    @app.get("/assets/{name:path}", include_in_schema=False)
    def asset(name: str, request: Request) -> Response:
        found = table.get(name)
        if found is None:
            return PlainTextResponse("no such file\n", status_code=404)
        headers = {"etag": f'"{found.digest}"', "cache-control": "no-cache"}
        if request.headers.get("if-none-match") == headers["etag"]:
            return Response(status_code=304, headers=headers)
        return Response(found.content, media_type=found.content_type, headers=headers)
