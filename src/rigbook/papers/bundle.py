"""Our own browser modules as one script: what a page needs that is opened from a file, where no module can be fetched.

A module becomes a function that gives its exports; `import { a, b } from "x"` takes them from it. Only the forms that
our modules use are known; another one is a fault of ours and is said.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_IMPORT = re.compile(r'^import \{([^}]*)\} from "([^"]+)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export ((?:async )?function|class|const) (\w+)", re.MULTILINE)


class CannotBundle(Exception):
    """A module uses a form that is not known here, or one that comes later."""


def bundled(modules: Mapping[str, str]) -> str:
    """The modules by name, in an order in which each comes after those it takes from, as one script.

    Raises:
        CannotBundle: an import or export of another form, or from a module that has not come yet.
    """
    parts = ['"use strict";']
    done: dict[str, str] = {}
    for name, source in modules.items():
        variable = "module_" + re.sub(r"\W", "_", name)
        exports = [found[1] for found in _EXPORT.findall(source)]

        def taken(found: re.Match[str], name: str = name) -> str:
            if found[2] not in done:
                raise CannotBundle(f"{name} takes from {found[2]}, which has not come yet")
            return f"const {{{found[1]}}} = {done[found[2]]};"

        body = _EXPORT.sub(r"\1 \2", _IMPORT.sub(taken, source))
        left = re.search(r"^(import|export)\b.*$", body, re.MULTILINE)
        if left is not None:
            raise CannotBundle(f"{name}: {left[0]}")
        parts.append(f"const {variable} = (() => {{\n{body}\nreturn {{ {', '.join(exports)} }};\n}})();")
        done[name] = variable
    return "\n".join(parts)
