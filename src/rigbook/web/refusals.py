"""Refusals of the data interface: one shape for every answer that is no success.

FastAPI reads the annotations of handlers as they stand: so none are postponed here.
"""

import json
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from rigbook.desk.bench import Bench, NoBuild, Unreadable
from rigbook.desk.files import CannotWrite
from rigbook.desk.newbuild import CannotBegin
from rigbook.desk.shopfolder import ChangedMeanwhile, NotAShop
from rigbook.documents.editing import EditError


class Refused(Exception):
    """An answer that is no success."""

    def __init__(self, status: int, says: str, **more: Any) -> None:
        super().__init__(says)
        self.status = status
        self.body = {"rigbook": 1, "says": says, "errors": [], "present": None} | more


def answer(value: Any, status: int = 200) -> Response:
    """Plain data as a JSON answer that nobody keeps."""
    body = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(
        body.encode("utf-8", "backslashreplace"), status_code=status, media_type="application/json",
        headers={"cache-control": "no-store"},
    )  # fmt: skip


def add_refusals(app: FastAPI, bench: Bench) -> None:
    """One shape for every refusal below /api."""
    from fastapi.exception_handlers import http_exception_handler

    @app.exception_handler(Refused)
    async def refused(request: Request, why: Refused) -> Response:
        return answer(why.body, why.status)

    @app.exception_handler(NoBuild)
    async def no_build(request: Request, why: NoBuild) -> Response:
        return answer(Refused(404, str(why)).body, 404)

    @app.exception_handler(ChangedMeanwhile)
    async def changed(request: Request, why: ChangedMeanwhile) -> Response:
        try:
            content, digest = bench.shop.read(why.path)
            present = {"text": content.decode("utf-8", "replace"), "digest": digest}
        except NotAShop:
            present = None
        return answer(Refused(409, str(why), present=present).body, 409)

    async def cannot(request: Request, why: Exception) -> Response:
        return answer(Refused(422, str(why)).body, 422)

    for kind in (EditError, CannotBegin, CannotWrite, Unreadable, NotAShop):
        app.add_exception_handler(kind, cannot)

    @app.exception_handler(RequestValidationError)
    async def not_as_asked(request: Request, why: RequestValidationError) -> Response:
        says = "; ".join(
            f"{'.'.join(str(x) for x in e['loc'] if not isinstance(x, str) or x.isprintable())}: {e['msg']}"
            for e in why.errors()[:5]
        )
        return answer(Refused(422, says).body, 422)

    @app.exception_handler(HTTPException)
    async def refused_by_frame(request: Request, why: HTTPException) -> Response:
        if not request.url.path.startswith("/api/"):
            return await http_exception_handler(request, why)
        made = answer(Refused(why.status_code, str(why.detail)).body, why.status_code)
        made.headers.update(why.headers or {})
        return made


def errors_of(errors: Any) -> list[dict[str, Any]]:
    """Errors of documents as plain data."""
    from rigbook.assess.results_json import errors_json

    return list(errors_json(errors)["errors"])
