"""Built assets: script, style and type, kept by browsers for good under an address that changes with them."""

from __future__ import annotations

import re
from typing import Final

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

FOR_GOOD: Final = "public, max-age=31536000, immutable"
ASK_AGAIN: Final = "no-cache"
_HASHED: Final = re.compile(r"[-.][0-9A-Za-z]{8,}\.[a-z0-9]+$")
"""A file that the build named after what is in it."""


class Assets(StaticFiles):
    """Serves the folder of built assets."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer for one asset.

        Args:
            path: its path in the folder.
            scope: the request.

        Returns:
            The asset, or that there is none.
        """
        response = await super().get_response(path, scope)
        asked_by_hash = b"v=" in scope.get("query_string", b"")
        named = _HASHED.search(path) is not None
        response.headers["Cache-Control"] = FOR_GOOD if asked_by_hash or named else ASK_AGAIN
        return response
