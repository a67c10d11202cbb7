"""Built assets: script, style and type, kept by browsers for good under an address that changes with them."""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import parse_qs

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from borewright.web.answers import asset_address

FOR_GOOD: Final = "public, max-age=31536000, immutable"
ASK_AGAIN: Final = "no-cache"
_HASHED: Final = re.compile(r"[-.][0-9A-Za-z]{8,}\.[a-z0-9]+$")
"""A file that the build named after what is in it."""


class Assets(StaticFiles):
    """Serves the folder of built assets; where nothing was built yet there is simply nothing in it."""

    async def check_config(self) -> None:
        """Take the folder as it is."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer for one asset.

        Args:
            path: its path in the folder.
            scope: the request.

        Returns:
            The asset, or that there is none.
        """
        response = await super().get_response(path, scope)
        asked = parse_qs(scope.get("query_string", b"").decode("ascii", "replace")).get("v", [""])[0]
        named = _HASHED.search(path) is not None
        current = bool(asked) and asset_address(path).endswith(f"?v={asked}")
        response.headers["Cache-Control"] = FOR_GOOD if named or current else ASK_AGAIN
        return response
