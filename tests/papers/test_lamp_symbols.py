from __future__ import annotations

import xml.etree.ElementTree as ElementTree

from rigbook.papers.lamp_symbols import halo, lamp_symbol
from rigbook.papers.lamps import Mark

LETTERS = {"blue": "B", "white": "W"}


def mark(*colours: str, factory: bool = False, pose: int = 0, aim: tuple[float, float] | None = None) -> Mark:
    return Mark("grille", "grille", pose, 10.0, 10.0, aim, colours, factory, False, True)


def test_a_lamp_tells_its_kind_by_shape_and_its_colours_by_letters() -> None:
    fitted = ElementTree.fromstring(lamp_symbol(mark("blue", "white"), LETTERS, 1.2))
    assert [e.get("data-colour") for e in fitted if e.get("class") == "ink"] == ["blue", "white"]
    assert fitted.find("title") is not None and fitted.findtext("title") == "grille: blue (B), white (W)"
    assert fitted.get("class") == "lamp"
    factory = ElementTree.fromstring(lamp_symbol(mark("white", factory=True), LETTERS, 1.2))
    assert factory.get("class") == "lamp factory" and len(factory.findall("rect")) == 2
    opened = ElementTree.fromstring(lamp_symbol(mark("white", pose=1), LETTERS, 1.2))
    assert any(e.get("stroke-dasharray") for e in opened)


def test_the_arrow_points_where_the_lamp_aims() -> None:
    drawn = ElementTree.fromstring(lamp_symbol(mark("blue", aim=(1.0, 0.0)), LETTERS, 1.0))
    (arrow,) = [e for e in drawn.findall("path") if e.get("class") == "aim"]
    start, tip = arrow.attrib["d"].split("M")[1].split("L")
    assert float(tip.split()[0]) > float(start.split()[0]) > 10.0 and start.split()[1] == tip.split()[1]
    assert not [e for e in ElementTree.fromstring(lamp_symbol(mark("blue"), LETTERS, 1.0)) if e.get("class") == "aim"]
    assert 'data-device="grille"' in halo(mark("blue"), 1.0)
