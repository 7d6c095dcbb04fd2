"""No two files of the program need each other, neither at once, nor later, nor for what only types need."""

from __future__ import annotations

from graphlib import TopologicalSorter

import grimp


def test_files_can_be_read_in_an_order_in_which_each_needs_only_earlier_ones() -> None:
    """Where there is no such order, the error names the files that need each other."""
    graph = grimp.build_graph("jounce", cache_dir=None)
    needs = {file: graph.find_modules_directly_imported_by(file) for file in graph.modules}
    order = list(TopologicalSorter(needs).static_order())
    assert order.index("jounce.car.file.contents") < order.index("jounce.car.file.document")
