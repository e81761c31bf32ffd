from __future__ import annotations

import hashlib
import json
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rigbook.web.app import create_app
from rigbook.web.assets import asset_table

from .conftest import BUILD


@pytest.fixture(scope="module")
def client(shop: Path) -> TestClient:
    return TestClient(create_app(shop), base_url="http://127.0.0.1:8765")


def test_the_shop_lists_its_builds_with_their_verdicts(client: TestClient) -> None:
    page = client.get("/").text
    assert f'href="/builds/{BUILD}"' in page
    assert "cannot be read" in page and "builds/broken.yaml" in page


def test_a_build_with_errors_names_each_place(client: TestClient) -> None:
    page = client.get("/builds/broken").text
    assert re.search(r"builds/broken\.yaml:2:\d+", page) and "titel" in page
    answer = client.get("/api/builds/broken")
    assert answer.status_code == 422
    assert {"file", "line", "column", "says"} <= answer.json()["errors"][0].keys()


def test_what_is_not_there_is_404(client: TestClient) -> None:
    for path in ("/builds/none", "/api/builds/none", "/api/builds/none/program", "/assets/none.js", "/nowhere"):
        assert client.get(path).status_code == 404, path


def test_the_page_holds_five_views_of_well_formed_svg_and_the_findings_with_their_places(client: TestClient) -> None:
    page = client.get(f"/builds/{BUILD}").text
    views = re.findall(r"<svg.*?</svg>", page, flags=re.DOTALL)
    assert len(views) == 5
    lamps = {
        g.attrib["data-device"]
        for v in views
        for g in ElementTree.fromstring(v).iter()
        if g.attrib.get("class", "").startswith("lamp ") or g.attrib.get("class") == "lamp"
    }
    program = client.get(f"/api/builds/{BUILD}/program").json()["program"]
    assert lamps == {d["id"] for d in program["devices"] if d["colours"]}
    report = client.get(f"/api/builds/{BUILD}").json()
    assert report["findings"]
    for finding in report["findings"]:
        assert finding["id"] in page


def test_nothing_is_inline_but_the_import_map_that_the_policy_names(client: TestClient) -> None:
    answer = client.get(f"/builds/{BUILD}")
    inline = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>(.*?)</script>", answer.text, flags=re.DOTALL)
    assert len(inline) == 1 and "imports" in json.loads(inline[0])
    import base64

    assert (
        base64.b64encode(hashlib.sha256(inline[0].encode()).digest()).decode()
        in answer.headers["content-security-policy"]
    )
    assert not re.search(r"\son[a-z]+=|\sstyle=|javascript:|<style", answer.text)
    assert not re.search(r"(src|href)=\"(https?:)?//", answer.text), "nothing is loaded from elsewhere"


def test_a_finding_links_to_a_line_that_is_there(client: TestClient) -> None:
    page = client.get(f"/builds/{BUILD}").text
    links = re.findall(r'href="(/builds/[^"#]+/text\?file=[^"#]+)#L(\d+)"', page)
    assert links
    for link, line in links:
        assert f'id="L{line}"' in client.get(link.replace("&amp;", "&")).text


@pytest.mark.parametrize(
    "file",
    [
        "../secret.yaml",
        "builds/../../secret.yaml",
        "/etc/passwd",
        "builds/../shop.yaml",
        "builds\\..\\secret.yaml",
        "builds/x.yaml\0",
        "",
        "builds",
        "approvals/x.yaml",
        "builds/sub/../../../secret.yaml",
        "file:///etc/passwd",
        "..%2fsecret.yaml",
    ],
)
def test_no_text_outside_the_shops_documents_is_shown(client: TestClient, file: str) -> None:
    answer = client.get(f"/builds/{BUILD}/text", params={"file": file})
    assert answer.status_code == 404
    assert "not for anybody" not in answer.text and "root:" not in answer.text


def test_a_link_out_of_the_shop_is_not_followed(shop: Path, client: TestClient) -> None:
    link = shop / "rules" / "out.yaml"
    link.symlink_to(shop.parent / "secret.yaml")
    try:
        answer = client.get(f"/builds/{BUILD}/text", params={"file": "rules/out.yaml"})
        assert answer.status_code == 404 and "not for anybody" not in answer.text
    finally:
        link.unlink()


@pytest.mark.parametrize(
    "path",
    [
        "/assets/../app.py",
        "/assets/%2e%2e/app.py",
        "/assets/..%2f..%2fetc/passwd",
        "/assets//etc/passwd",
        "/assets/vendor/..",
        "/assets/__init__.py",
    ],
)
def test_assets_are_a_closed_table(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_every_asset_is_served_with_its_type_and_tag(client: TestClient) -> None:
    table = asset_table()
    assert {"rigbook.css", "program.js", "islands/vehicle.js", "vendor/preact.mjs"} <= table.keys()
    for name, asset in table.items():
        answer = client.get(f"/assets/{name}")
        assert (
            answer.content == asset.content
            and answer.headers["content-type"].split(";")[0] == asset.content_type.split(";")[0]
        )
        assert client.get(f"/assets/{name}", headers={"if-none-match": answer.headers["etag"]}).status_code == 304


def test_vendored_modules_are_the_ones_of_the_manifest() -> None:
    table = asset_table()
    manifest = json.loads(table["vendor/MANIFEST.json"].content)
    rows = manifest["modules"] + manifest["fonts"]
    assert len(rows) >= 8
    for row in rows:
        assert table[row["file"]].digest == row["sha256"], row["file"]
        assert table[row["licence_file"]].content
    vendored = {n for n in table if n.endswith((".mjs", ".ttf"))}
    assert vendored == {row["file"] for row in rows}, "nothing vendored is missing from the manifest"


def test_pages_are_the_same_bytes_twice(client: TestClient, shop: Path) -> None:
    again = TestClient(create_app(shop), base_url="http://127.0.0.1:8765")
    for path in (f"/builds/{BUILD}", f"/api/builds/{BUILD}", f"/api/builds/{BUILD}/program"):
        assert client.get(path).content == again.get(path).content


def test_a_hostile_title_is_shown_as_text(shop: Path) -> None:
    build = shop / "builds" / f"{BUILD}.yaml"
    before = build.read_text(encoding="utf-8")
    assert "title: Duty officer's compact utility, unit 1" in before
    build.write_text(
        before.replace("title: Duty officer's compact utility, unit 1", "title: <script>alert(1)</script>"),
        encoding="utf-8",
    )
    try:
        page = TestClient(create_app(shop), base_url="http://127.0.0.1").get(f"/builds/{BUILD}").text
        assert "<script>alert(1)" not in page and "&lt;script&gt;alert(1)" in page
    finally:
        build.write_text(before, encoding="utf-8")


def test_an_edit_on_disk_is_seen_at_the_next_look(shop: Path, client: TestClient) -> None:
    build = shop / "builds" / f"{BUILD}.yaml"
    before = build.read_text(encoding="utf-8")
    build.write_text(before.replace("unit 1", "unit 77"), encoding="utf-8")
    try:
        assert "unit 77" in client.get(f"/builds/{BUILD}").text
    finally:
        build.write_text(before, encoding="utf-8")
    assert "unit 77" not in client.get(f"/builds/{BUILD}").text
