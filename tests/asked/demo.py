"""Where the demo cars stand."""

from pathlib import Path

import jounce.demo

DEMO = Path(jounce.demo.__file__).parent
