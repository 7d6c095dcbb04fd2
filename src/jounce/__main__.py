"""Entry point: a process that stays runs the command where there is one, else this process does."""

from __future__ import annotations

import os
import sys


def main() -> None:
    """Run the command line."""
    from jounce.cli.staying.place import ALONE, socket_path

    if ALONE not in os.environ and os.path.exists(socket := socket_path()):
        from jounce.cli.staying.handing_over import handed_over

        code = handed_over(socket)
        if code is not None:
            sys.exit(code)
    from jounce.cli.app import app

    app()


if __name__ == "__main__":
    main()
