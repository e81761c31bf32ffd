from __future__ import annotations

import io
import xml.etree.ElementTree as ElementTree
import zipfile
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rigbook.web.app import create_app
from rigbook.web.papers import papers_of

from .conftest import BUILD

AT = f"/api/builds/{BUILD}/papers"


@pytest.fixture(scope="module")
def client(shop: Path) -> TestClient:
    return TestClient(create_app(shop), base_url="http://127.0.0.1:8765")


def test_every_paper_of_the_list_can_be_fetched_in_every_form(client: TestClient) -> None:
    listed = client.get(AT).json()
    assert [p["id"] for p in listed] == [p["id"] for p in papers_of(BUILD)]
    fetched = {"pdf": 0, "svg": 0, "csv": 0, "xlsx": 0, "html": 0}
    for paper in listed:
        for form, path in paper["files"].items():
            if form == "pdf" and paper["id"] not in ("book", "lamp-map"):
                continue  # one drawing on paper stands for all: each takes a second
            answer = client.get(path)
            assert answer.status_code == 200, path
            fetched[form] = fetched.get(form, 0) + 1
            if form == "svg":
                ElementTree.fromstring(answer.content)
                assert answer.headers["content-disposition"].startswith("inline")
            elif form == "xlsx":
                assert zipfile.ZipFile(io.BytesIO(answer.content)).testzip() is None
            elif form == "pdf":
                assert answer.content.startswith(b"%PDF")
            elif form == "csv":
                assert answer.content.count(b"\n") >= 1
            elif form == "html":
                assert answer.content.startswith(b"<!doctype html>")
            if form != "svg":
                assert answer.headers["content-disposition"].startswith(f'attachment; filename="{BUILD}')
        if paper["preview"]:
            assert client.get(paper["preview"]).status_code == 200
    assert min(fetched.values()) >= 1 and sum(fetched.values()) > 15, fetched


@pytest.mark.parametrize(
    "path",
    ["drawings/none.svg", "drawings/lamp-map.exe", "sheets/none.csv", "sheets/equipment.docx", "drawings/..%2f.svg"],
)
def test_a_paper_that_is_not_made_is_not_found(client: TestClient, path: str) -> None:
    answer = client.get(f"{AT}/{path}")
    assert answer.status_code == 404 and "root:" not in answer.text


def test_papers_of_a_text_that_cannot_be_read_are_refused_with_its_errors(client: TestClient) -> None:
    answer = client.get("/api/builds/broken/papers/book.pdf")
    assert answer.status_code == 422 and answer.json()["errors"][0]["file"] == "builds/broken.yaml"
    assert "Papers are made once the text can be worked out" in client.get("/builds/broken/papers").text
