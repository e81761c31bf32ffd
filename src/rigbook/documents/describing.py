"""What the keys of a record mean: the docstrings beneath its attributes, read from the source when they are printed.

The schemas are imported at every start, and reading their sources takes longer than reading a build; so only the
reference pages and the schemas for editors do it.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from itertools import pairwise

from pydantic import BaseModel


def meanings(record: type[BaseModel]) -> dict[str, str]:
    """The docstring of each attribute of a record, its bases' first: attribute name to text."""
    found: dict[str, str] = {}
    for base in reversed(record.__mro__):
        if issubclass(base, BaseModel) and base is not BaseModel:
            found |= _own(base)
    return {name: found[name] for name in record.model_fields if name in found}


def _own(record: type[BaseModel]) -> dict[str, str]:
    (body,) = ast.parse(textwrap.dedent(inspect.getsource(record))).body
    assert isinstance(body, ast.ClassDef)
    found: dict[str, str] = {}
    for key, text in pairwise(body.body):
        if (
            isinstance(key, ast.AnnAssign)
            and isinstance(key.target, ast.Name)
            and isinstance(text, ast.Expr)
            and isinstance(text.value, ast.Constant)
            and isinstance(text.value.value, str)
        ):
            found[key.target.id] = inspect.cleandoc(text.value.value)
    return found
