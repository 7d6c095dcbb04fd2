"""A real PostgreSQL server for tests, in a folder of its own, reached by a socket in it."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

REQUIRED = os.environ.get("JOUNCE_POSTGRESQL") == "required"
_USER = "postgres"


def programs() -> Path | None:
    """Folder of the server's programs; None where there is no server on this machine."""
    known = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
    found = shutil.which("initdb")
    return next((path for path in reversed(known) if (path / "initdb").exists()), found and Path(found).parent)


def _run(*command: str) -> None:
    """A command as the user who may run a server: root may not."""
    as_user = ["setpriv", "--reuid", _USER, "--regid", _USER, "--clear-groups"] if os.geteuid() == 0 else []
    done = subprocess.run([*as_user, *command], capture_output=True, text=True, timeout=120, check=False, cwd="/")  # noqa: S603
    assert done.returncode == 0, done.stdout + done.stderr


@contextmanager
def running(there: Path) -> Iterator[str]:
    """A server that runs until the block ends.

    Args:
        there: folder of its programs

    Yields:
        Address of its databases, their name left out
    """
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, _USER, _USER)
        _run(
            str(there / "initdb"), "-D", f"{folder}/data", "-U", _USER, "-A", "trust", "-E", "UTF8", "--locale=C", "-N"
        )
        told = f"-c listen_addresses='' -c unix_socket_directories='{folder}' -c max_connections=60"
        _run(str(there / "pg_ctl"), "-D", f"{folder}/data", "-l", f"{folder}/log", "-o", told, "-w", "start")
        try:
            yield f"postgresql://{_USER}@/{{name}}?host={folder}"
        finally:
            _run(str(there / "pg_ctl"), "-D", f"{folder}/data", "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
