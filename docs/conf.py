"""How the pages are built."""

from __future__ import annotations

project = "jounce"
html_title = "jounce"
extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["generate"]
nitpicky = True

myst_heading_anchors = 4  # so that a page can point at a heading of another
myst_enable_extensions = ["deflist"]

html_theme = "alabaster"
html_theme_options = {"page_width": "70rem", "sidebar_width": "14rem", "show_powered_by": False}
html_show_sourcelink = False
html_show_copyright = False
