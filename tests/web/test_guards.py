from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rigbook.web.app import create_app
from rigbook.web.guards import LONGEST_BODY_BYTES, host_name


@pytest.fixture(scope="module")
def client(shop: Path) -> TestClient:
    return TestClient(create_app(shop), base_url="http://127.0.0.1:8765")


@pytest.mark.parametrize("host", ["localhost", "localhost:8765", "127.0.0.1:1", "[::1]:8765", "LOCALHOST"])
def test_loopback_names_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "localhost.evil.example",
        "127.0.0.1.evil.example:8765",
        "",
        "a b",
        "user@localhost",
        "localhost:port",
        "192.168.1.7",
    ],
)
def test_a_wrong_host_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 400
    assert "content-security-policy" in answer.headers


def test_a_host_named_at_the_start_is_answered(shop: Path) -> None:
    client = TestClient(create_app(shop, hosts=("bay-2.local",)))
    assert client.get("/", headers={"host": "bay-2.local:8765"}).status_code == 200
    assert client.get("/", headers={"host": "bay-3.local:8765"}).status_code == 400


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "https://127.0.0.1:8765"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "http://127.0.0.1:8765", "sec-fetch-site": "cross-site"},
        {},
    ],
)
def test_changes_from_elsewhere_are_refused(client: TestClient, method: str, headers: dict[str, str]) -> None:
    assert client.request(method, "/builds/x", headers=headers).status_code == 403


def test_a_change_from_our_own_page_passes_the_guard(client: TestClient) -> None:
    answer = client.post("/builds/x", headers={"origin": "http://127.0.0.1:8765", "sec-fetch-site": "same-origin"})
    assert answer.status_code == 405, "it reaches the routes, which take no changes yet"


def test_another_site_cannot_read_the_data(client: TestClient) -> None:
    assert client.get("/api/builds", headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert client.get("/api/builds", headers={"origin": "http://evil.example"}).status_code == 403
    assert client.get("/api/builds", headers={"sec-fetch-site": "same-origin"}).status_code == 200


def test_a_long_body_is_refused_before_it_is_read(client: TestClient) -> None:
    own = {"origin": "http://127.0.0.1:8765"}
    assert client.post("/", headers=own, content=b"x" * (LONGEST_BODY_BYTES + 1)).status_code == 413
    assert client.post("/", headers=own | {"content-length": "many"}, content=b"").status_code == 413


def test_every_answer_carries_the_security_headers(client: TestClient) -> None:
    for path in ("/", "/assets/rigbook.css", "/api/builds", "/nowhere"):
        headers = client.get(path).headers
        policy = dict(p.strip().split(" ", 1) for p in headers["content-security-policy"].split(";"))
        assert policy["default-src"] == "'none'" and policy["frame-ancestors"] == "'none'"
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-resource-policy"] == "same-origin"


@pytest.mark.parametrize(
    ("header", "name"),
    [("localhost", "localhost"), ("A.b:80", "a.b"), ("[::1]:1", "::1"), ("a/b", None), ("", None), ("a:b:c", None)],
)
def test_host_names(header: str, name: str | None) -> None:
    assert host_name(header) == name
