"""The Power page's drawings: one-line diagram, batteries through the day, time-current chart of any chain.

FastAPI reads the annotations of routes as they stand: so none are postponed here.
"""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import FastAPI, Path, Query
from fastapi.responses import Response

from rigbook.desk.bench import Bench
from rigbook.web.refusals import Refused, answer

if TYPE_CHECKING:
    from rigbook.papers.canvas import Plate
    from rigbook.rig.model import Rig

BuildId = Annotated[str, Path(min_length=1, max_length=100, description="id of a build of this shop")]


def on_screen(plate: "Plate") -> dict[str, str]:
    """A plate with its title; its width is the page's."""
    from rigbook.papers.svg import element, number

    drawn = element(
        "svg",
        element("rect", x=0, y=0, width=plate.width, height=plate.height, fill="#ffffff"),
        plate.markup,
        viewBox=f"0 0 {number(plate.width)} {number(plate.height)}",
        font_family="DejaVu Sans",
        font_stretch="75%",
        role="img",
        aria_label=plate.title,
    )
    return {"title": plate.title, "svg": drawn}


def rows_of(rig: "Rig") -> dict[str, Any]:
    """What may be changed on the page: fuse and wire of each feed as written, wire of each circuit's installed row."""
    written = {str(feed.id): feed for feed in rig.build.feeds}
    feeds = []
    for feed in rig.feeds.values():
        own = written[feed.id]
        circuit = rig.circuits.get(feed.id)
        rows = [] if circuit is None else list(dict.fromkeys(rig.devices[m.device_id].row for m in circuit.members))
        row_wire = _row_wire(rig, rows)
        by_row = feed.to is None and row_wire not in (None, "auto")  # a wire set at the row goes before the feed's
        feeds.append(
            {
                "id": feed.id, "from": str(own.from_), "to": feed.to, "rows": rows, "breaker": feed.breaker,
                "fuse": "auto" if isinstance(own.fuse, str) else f"{own.fuse:g} A",
                "wire": row_wire if by_row else str(own.wire),
                "wire_path": _wire_path(rows) if by_row else f"feeds[{feed.id}].wire",
                "fuse_why": feed.fuse_why, "line": feed.line,
            }
        )  # fmt: skip
    outputs = []
    for circuit in rig.circuits.values():
        if circuit.kind == "output":
            rows = list(dict.fromkeys(rig.devices[m.device_id].row for m in circuit.members))
            outputs.append(
                {"id": circuit.id, "rows": rows, "wire": _row_wire(rig, rows), "wire_path": _wire_path(rows)}
            )
    return {"feeds": feeds, "outputs": outputs}


def _wire_path(rows: list[str]) -> str | None:
    return f"install[{rows[0]}].wire" if len(rows) == 1 else None


def _row_wire(rig: "Rig", rows: list[str]) -> str | None:
    found = next((row for row in rig.build.install if [str(row.id)] == rows), None)
    return None if found is None else str(found.wire)


def add_power(app: FastAPI, bench: Bench) -> None:
    """Put the routes of the Power page on an application."""
    from rigbook.web.api import REFUSALS, worked

    @app.get("/api/builds/{build_id}/power", response_class=Response, responses=REFUSALS)
    def power(build_id: BuildId) -> Response:
        """One-line diagram and the batteries' day as drawings, feeds and outputs as written, chains to chart."""
        from rigbook.papers.day_chart import day_chart
        from rigbook.papers.one_line import one_line

        digest = bench.text(build_id).digest
        rig = worked(bench, build_id).worked
        return answer(
            {
                "text_digest": digest,
                "units": rig.shop.units,
                "one_line": [on_screen(plate) for plate in one_line(rig)],
                "day": [on_screen(plate) for plate in day_chart(rig)] if rig.build.duty else [],
                "fuses": sorted({f"{a:g} A" for stock in rig.shop.fuses for a in stock.ratings}, key=_amps),
                "wires": [str(wire.gauge) for wire in rig.shop.wires],
                **rows_of(rig),
            }
        )

    @app.get("/api/builds/{build_id}/power/chain", response_class=Response, responses=REFUSALS)
    def chain(
        build_id: BuildId, feed: Annotated[str, Query(min_length=1, max_length=100, description="id of a feed")]
    ) -> Response:
        """Time-current chart of a feed's fuse and those above it."""
        from rigbook.papers.time_current import chain_of_feed, plate_of

        rig = worked(bench, build_id).worked
        if feed not in rig.feeds:
            raise Refused(404, f"the build has no feed {feed}")
        return answer(on_screen(plate_of(chain_of_feed(rig, feed), f"chain-{feed}")))


def _amps(text: str) -> float:
    return float(text.removesuffix(" A"))
