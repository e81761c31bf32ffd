from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from rigbook.desk.bench import NoBuild, Unreadable
from rigbook.desk.files import CannotWrite
from rigbook.desk.newbuild import CannotBegin
from rigbook.desk.shopfolder import ChangedMeanwhile, NotAShop
from rigbook.documents.editing import EditError
from rigbook.web.refusals import Refused, add_refusals, answer


class _Shop:
    def read(self, path: str) -> tuple[bytes, str]:
        if path == "gone.yaml":
            raise NotAShop("gone")
        return "grün\n".encode(), "d" * 64


class _Bench:
    shop = _Shop()


def asked(why: Exception) -> tuple[int, dict[str, object]]:
    app = FastAPI()
    add_refusals(app, _Bench())  # type: ignore[arg-type]

    @app.get("/api/x")
    def route() -> None:
        raise why

    found = TestClient(app).get("/api/x")
    return found.status_code, found.json()


@pytest.mark.parametrize(
    ("why", "status"),
    [
        (Refused(403, "no"), 403),
        (NoBuild("no build of that id"), 404),
        (EditError("nothing stands there"), 422),
        (CannotBegin("taken"), 422),
        (CannotWrite("closed"), 422),
        (Unreadable("not UTF-8"), 422),
        (NotAShop("leads out"), 422),
    ],
)
def test_every_refusal_has_one_shape(why: Exception, status: int) -> None:
    code, body = asked(why)
    assert code == status
    assert body == {"rigbook": 1, "says": str(why), "errors": [], "present": None}


@pytest.mark.parametrize(("path", "present"), [("x.yaml", {"text": "grün\n", "digest": "d" * 64}), ("gone.yaml", None)])
def test_a_changed_file_comes_along(path: str, present: object) -> None:
    code, body = asked(ChangedMeanwhile(path, "e" * 64))
    assert code == 409 and body["present"] == present and path in str(body["says"])


def test_a_fault_of_ours_is_no_refusal() -> None:
    with pytest.raises(ZeroDivisionError):
        asked(ZeroDivisionError("ours"))


@pytest.mark.parametrize(
    ("ask", "status"),
    [
        (lambda c: c.get("/api/none"), 404),
        (lambda c: c.post("/api/number"), 405),
        (lambda c: c.get("/api/number", params={"n": "many"}), 422),
    ],
)
def test_the_frames_own_refusals_take_the_same_shape(ask: Callable[[TestClient], object], status: int) -> None:
    app = FastAPI()
    add_refusals(app, _Bench())  # type: ignore[arg-type]

    @app.get("/api/number")
    def number(n: int) -> int:
        return n

    found = ask(TestClient(app))
    assert found.status_code == status  # type: ignore[attr-defined]
    assert found.json().keys() == {"rigbook", "says", "errors", "present"}  # type: ignore[attr-defined]


def test_answers_are_kept_by_nobody_and_carry_no_infinity() -> None:
    found = answer({"a": "\udcff"})
    assert found.headers["cache-control"] == "no-store" and json.loads(found.body)
    with pytest.raises(ValueError, match="Out of range"):
        answer({"a": float("inf")})
