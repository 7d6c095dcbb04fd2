"""The staying process from its start: ``python -P -m jounce.cli.staying IDLE DESCRIPTOR``, as `starting` calls it."""

from __future__ import annotations

import os
import sys

from jounce.cli.staying.process import Staying


def main() -> None:
    """Read the mechanics, tell the caller that it may ask, and stay.

    Its words are the idle time [s], and a descriptor that is written to when it is ready and closed in any case.
    """
    idle, told = float(sys.argv[1]), int(sys.argv[2])
    os.set_inheritable(told, False)  # noqa: FBT003  # it takes no name
    if os.fork():  # who started it need not wait for its end
        os._exit(0)
    staying = Staying(idle)
    if "--cold" not in sys.argv:
        from jounce.cli.staying.kept import keep_mechanics  # noqa: PLC0415  # after the source's state has been noted

        keep_mechanics()

    def ready() -> None:
        os.write(told, b"ready")
        os.close(told)

    staying.stay(ready)


if __name__ == "__main__":
    main()
