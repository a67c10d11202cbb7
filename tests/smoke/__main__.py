"""Clone, `make run`, size a bore of the demo over HTTP, kill the server in mid-pass, start it again, finish the bore.

What is tested is the last commit. The clone makes an environment of its own from wheels that `make` keeps under
``.venv/wheels``, so that nothing is downloaded twice; the front end's packages come from npm's own cache where they are
there.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from tests.served.machinist import Machinist
from tests.served.server import started

ROOT: Final = Path(__file__).parents[2]
WHEELS: Final = ROOT / ".venv" / "wheels"
BORE: Final = "dome_drive_7.pinion_seat"
MAKE: Final = ("make", "--no-print-directory", "run", "PORT=0", f"PYTHON={sys.executable}")


def main() -> None:
    """Walk the way, and say each step."""
    with tempfile.TemporaryDirectory(prefix="borewright-smoke-") as folder:
        clone, data = Path(folder) / "borewright", Path(folder) / "data"
        subprocess.run(["git", "clone", "--quiet", "--no-local", str(ROOT), str(clone)], check=True)
        head = _git("rev-parse", "HEAD")
        subprocess.run(["git", "-C", str(clone), "checkout", "--quiet", "--detach", head], check=True)
        _say(f"cloned {head[:12]}" + (", without what is not committed" if _git("status", "--porcelain") else ""))
        _walk(clone, _environment(data))
    _say("done")


def _walk(clone: Path, environment: Mapping[str, str]) -> None:
    with started(MAKE, environment, folder=clone) as server:
        _say(f"make run serves at {server.address}")
        machinist = Machinist(server.address)
        listed = [line["bore"] for line in machinist.get("/bores")["bores"]]
        assert BORE in listed, listed
        done = machinist.size(BORE, until=lambda last: last == "moved")  # moved, not cut: the middle of a pass
        before = machinist.look(BORE)
        _say(f"{BORE}: {', '.join(done)}; {before['advice']['state']}")
        server.end(signal.SIGKILL)
        _say("killed")
    with started(MAKE, environment, folder=clone) as server:
        machinist = Machinist(server.address)
        after = machinist.look(BORE)
        assert after["numbers"] == before["numbers"], (before["numbers"], after["numbers"])
        assert after["advice"] == before["advice"]
        _say(f"serves again; found as it was left, {after['numbers']}")
        done = machinist.size(BORE)
        look = machinist.look(BORE)
        assert look["advice"]["state"] == "released", look["advice"]["state"]
        assert "released" in done
        _say(f"{', '.join(done)}; {look['advice']['state']}, {look['advice']['now']['size']}")
        page = machinist.client.get("/").text
        assert "Released" in page
        server.end(signal.SIGINT)
        _say("Ctrl-C ends it")


def _environment(data: Path) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("MAKE", "MFLAGS"))}
    kept |= {"BOREWRIGHT_DATA": str(data), "npm_config_prefer_offline": "true"}
    if WHEELS.is_dir():
        kept |= {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(WHEELS)}
    return kept


def _git(*words: str) -> str:
    ran = subprocess.run(["git", "-C", str(ROOT), *words], check=True, capture_output=True, text=True)
    return ran.stdout.strip()


def _say(words: str) -> None:
    print(f"smoke {time.monotonic() - _BEGUN:6.1f} s  {words}", flush=True)


_BEGUN: Final = time.monotonic()

if __name__ == "__main__":
    main()
