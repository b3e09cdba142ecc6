"""Set up this project in .venv with nothing but Python 3.11 or later, then run the reasoner or the tests.

In: the words after the script's name: those of `reasoner`, or `tests` (more words go to pytest), or `checks`.
Out: what that command prints, and its exit code. Not here: anything the project's own commands do.

A Debian system Python refuses to install outside a virtual environment, and may come without the pieces that make one:
then the environment is made bare and pip is fetched into it from the package index.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
import tempfile
import urllib.request
import venv
from pathlib import Path

HOME = Path(__file__).resolve().parent.parent
PLACE = HOME / ".venv"
BIN = PLACE / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")


def main() -> int:
    """Make the environment if need be, install what the wanted command needs, and run it."""
    if sys.version_info < (3, 11):  # noqa: UP036  (an older Python meets this file first)
        print(f"Python 3.11 or later is needed; this is {sys.version.split()[0]}.", file=sys.stderr)
        return 2
    words = sys.argv[1:]
    wanted = words[0] if words and words[0] in ("tests", "checks") else ""
    extras = {"": "", "tests": "[tests]", "checks": "[tests,checks]"}[wanted]
    _environment()
    _install(extras)
    if wanted == "tests":
        return _run([str(PYTHON), "-m", "pytest", *words[1:]], HOME)
    if wanted == "checks":
        return 0
    return _run([str(BIN / "reasoner"), *words], Path.cwd())


def _environment() -> None:
    if PYTHON.exists() and (_marks() or _has_pip()):
        return
    print(f"setting up {PLACE} (once)", file=sys.stderr)
    try:
        import ensurepip  # noqa: F401  (only whether it is there)

        venv.create(PLACE, with_pip=True, clear=True, symlinks=os.name != "nt")
    except (ImportError, subprocess.CalledProcessError):
        venv.create(PLACE, with_pip=False, clear=True, symlinks=os.name != "nt")
        _fetch_pip()


def _marks() -> list[Path]:
    """One for each set of extras that was installed to the end."""
    return list(PLACE.glob("installed-*"))


def _extras_of(mark: Path) -> set[str]:
    return set(mark.name.removeprefix("installed-").split(",")) - {"plain"}


def _has_pip() -> bool:
    """An interrupted set-up leaves a Python without pip behind; that is made anew."""
    return subprocess.run([str(PYTHON), "-c", "import pip"], capture_output=True, check=False).returncode == 0


def _fetch_pip() -> None:
    """pip's own wheel runs as a program: fetch it, check it against the index's hash, let it install itself."""
    index = os.environ.get("PIP_INDEX_URL", "https://pypi.org/simple").rstrip("/")
    request = urllib.request.Request(f"{index}/pip/", headers={"Accept": "application/vnd.pypi.simple.v1+json"})
    with urllib.request.urlopen(request, timeout=60) as answer:
        files = json.load(answer)["files"]
    wheels = [f for f in files if f["filename"].endswith("-py3-none-any.whl") and not f.get("yanked") and _runs_here(f)]
    newest = max(wheels, key=lambda f: [int(n) if n.isdigit() else -1 for n in f["filename"].split("-")[1].split(".")])
    with urllib.request.urlopen(urllib.request.urljoin(f"{index}/pip/", newest["url"]), timeout=120) as answer:
        data = answer.read()
    if hashlib.sha256(data).hexdigest() != newest["hashes"]["sha256"]:
        raise SystemExit("the fetched pip does not match its published hash; nothing was installed.")
    with tempfile.TemporaryDirectory() as folder:
        wheel = Path(folder) / newest["filename"]
        wheel.write_bytes(data)
        subprocess.run([str(PYTHON), str(wheel / "pip"), "install", "--quiet", str(wheel)], check=True)


def _runs_here(wheel: dict[str, str]) -> bool:
    """Whether a wheel's lowest Python (written ">=3.9") is not above this one."""
    lowest = re.match(r">=\s*3\.(\d+)", wheel.get("requires-python") or "")
    return lowest is None or int(lowest.group(1)) <= sys.version_info.minor


def _install(extras: str) -> None:
    """Install the project unless this very pyproject with these extras, or with more than these, already is."""
    mark = PLACE / f"installed-{extras.strip('[]') or 'plain'}"
    stamp = hashlib.sha256((HOME / "pyproject.toml").read_bytes()).hexdigest()
    if any(_extras_of(one) >= _extras_of(mark) and one.read_text() == stamp for one in _marks()):
        return
    print("installing what is needed (once)", file=sys.stderr)
    command = [str(PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-e", f"{HOME}{extras}"]
    done = subprocess.run(command, check=False)
    if done.returncode:
        print("the installation did not succeed; see the lines above.", file=sys.stderr)
        raise SystemExit(1)
    mark.write_text(stamp)


def _run(command: list[str], folder: Path) -> int:
    return subprocess.run(command, cwd=folder, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
