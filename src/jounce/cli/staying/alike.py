"""What has to be the same in the staying process as in the one that asks: then what it keeps is what would be read anew."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import Any

from jounce.cli.staying.limits import may_be_taken, own_limits
from jounce.cli.staying.place import PACKAGE

__all__ = ["is_alike", "of_this_process"]

_READ_AT_THE_START = (
    "PYTHON",
    "NUMBA_",
    "NUMPY_",
    "NPY_",
    "OPENBLAS_",
    "OMP_",
    "MKL_",
    "BLIS_",
    "LD_",
    "MALLOC_",
    "MPL",
)
"""How the names of variables begin that Python and its libraries read once."""


def of_this_process() -> dict[str, Any]:
    """What this process is, as values that can be written as JSON.

    The flag for a safe path is left out: it says only whether the folder of the caller stands first on the path.
    """
    flags = {name: getattr(sys.flags, name) for name in dir(sys.flags) if name[0] != "_" and name not in _NO_FLAGS}
    return {
        "package": PACKAGE,
        "python": [sys.prefix, sys.version, sys.getfilesystemencoding()],
        "flags": {name: value for name, value in flags.items() if isinstance(value, int)},
        "warnings": sys.warnoptions,
        "path": sys.path,
        "variables": {name: os.environ[name] for name in sorted(os.environ) if name.startswith(_READ_AT_THE_START)},
        "user": [os.getuid(), os.geteuid(), os.getgid(), os.getegid(), sorted(os.getgroups())],
        "share": [os.getpriority(os.PRIO_PROCESS, 0), sorted(os.sched_getaffinity(0))],
        "limits": own_limits(),
        "root": [os.stat("/").st_dev, os.stat("/").st_ino],
    }


_NO_FLAGS = ("safe_path", "n_fields", "n_sequence_fields", "n_unnamed_fields", "count", "index")


def is_alike(staying: Mapping[str, Any], asking: Mapping[str, Any]) -> bool:
    """Whether a staying process may answer for one that asks.

    Args:
        staying: `of_this_process` of the one that stays, which has no folder of a caller on its path
        asking: of the one that asks, whose path may begin with one
    """
    taken = ("path", "limits")  # a copy takes them over from the one that asks
    own, others = ({name: value for name, value in one.items() if name not in taken} for one in (staying, asking))
    path = asking["path"]
    return others == own and staying["path"] in (path, path[1:]) and may_be_taken(staying["limits"], asking["limits"])
