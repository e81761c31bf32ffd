"""Write docs/pictures/*.svg: the five views of each example vehicle, without a lamp.

python tools/generate_silhouettes.py
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from rigbook.documents.loader import load_build
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.papers.lamp_symbols import shape_markup
from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import ViewName, frame
from rigbook.papers.svg import document, element

FOLDER = Path(__file__).parents[1] / "docs" / "pictures"
BUILDS = {"van": "flood-support-van", "pickup": "boat-crew-pickup", "utility": "duty-officer-utility"}
SCALE_MM, MARGIN_MM = 16.0, 4.0
ROWS: tuple[tuple[ViewName, ...], ...] = (("plan", "front"), ("left", "rear"), ("right",))


def picture(vehicle: Vehicle) -> str:
    """The five views of a vehicle on one sheet."""
    f = frame(vehicle)
    half = f.width / 2 + 0.23
    body, y = [], MARGIN_MM
    for row in ROWS:
        tall = max(2 * half if name == "plan" else f.height + 0.06 for name in row) * SCALE_MM
        x = MARGIN_MM
        for name in row:
            left, top = (-half if name in ("front", "rear") else 0.0), (half if name == "plan" else f.height + 0.06)
            high = (2 * half if name == "plan" else f.height + 0.06) * SCALE_MM
            body += [
                shape_markup(s, u0=left, v1=top, scale=SCALE_MM, dx=x, dy=y + tall - high) for s in shapes_of(f, name)
            ]
            x += f.length * SCALE_MM + MARGIN_MM
        y += tall + MARGIN_MM
    width = 3 * MARGIN_MM + (f.length + 2 * half) * SCALE_MM
    paper = element("rect", x=0, y=0, width=width, height=y, fill="#ffffff")
    return document([paper, *body], width=width, height=y, title=vehicle.title)


def pictures() -> dict[str, str]:
    """Every picture by its file name."""
    made = {}
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as shop:
        for kind, build in BUILDS.items():
            vehicle = load_build(shop, Path(f"builds/{build}.yaml")).vehicle
            assert vehicle is not None, build
            made[f"{kind}.svg"] = picture(vehicle)
    return made


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for file_name, text in pictures().items():
        (FOLDER / file_name).write_text(text + "\n", encoding="utf-8")
        print(FOLDER.name, file_name)
