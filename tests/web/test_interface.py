"""The data interface under a generator of requests: no answer of 500 or more, and every refusal in one shape."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings

from rigbook.web.app import create_app

from .conftest import BUILD, example_shop

ORIGIN = "http://127.0.0.1:8765"
EXAMPLES = 12


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return example_shop(tmp_path_factory.mktemp("interface") / "shop", BUILD)


@pytest.fixture(scope="module")
def schema(folder: Path) -> schemathesis.schemas.BaseSchema:
    return schemathesis.openapi.from_asgi("/api/openapi.json", create_app(folder), headers={"host": "127.0.0.1:8765"})


def test_no_request_brings_the_server_down(schema: schemathesis.schemas.BaseSchema) -> None:
    """Every operation, half the time about a build that is there; a bounded number of requests each."""
    seen: Counter[str] = Counter()
    succeeded: set[str] = set()
    for result in schema.get_all_operations():
        operation = result.ok()

        @settings(
            max_examples=EXAMPLES,
            deadline=None,
            derandomize=True,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=operation.as_strategy())
        def ask(case: schemathesis.Case) -> None:
            label = case.operation.label
            seen[label] += 1
            if "build_id" in (case.path_parameters or {}) and seen[label] % 2:
                case.path_parameters["build_id"] = BUILD
            if case.query and "wait_s" in case.query:
                case.query["wait_s"] = "0"
            answer = case.call(base_url=ORIGIN, headers={"origin": ORIGIN, "host": "127.0.0.1:8765"})
            assert answer.status_code < 500, f"{label}: {answer.status_code}"
            if answer.status_code >= 400:
                body = answer.json()
                assert body.keys() == {"rigbook", "says", "errors", "present"}, f"{label}: {body}"
                assert body["says"]
            else:
                succeeded.add(label)

        ask()
    assert len(seen) >= 18, "every operation was asked"
    assert min(seen.values()) >= 1 and sum(seen.values()) > 100
    assert len(succeeded) >= 10, sorted(succeeded)
