"""What the house asks of a script of its pages, read from its syntax tree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import tree_sitter_javascript
from tree_sitter import Language, Node, Parser

_BROWSERS_TOLD = """
Array Blob Boolean CustomEvent DOMParser DataView Date DecompressionStream Error Event Float32Array Float64Array FormData
Image Infinity Int16Array IntersectionObserver JSON Map Math Number Object Promise ResizeObserver Response Set String
TextDecoder URL URLSearchParams Uint32Array Uint8Array XMLSerializer atob await clearTimeout confirm crypto document
encodeURIComponent fetch localStorage location matchMedia navigator performance requestAnimationFrame setTimeout window
"""
BROWSERS = frozenset(_BROWSERS_TOLD.split())
"""Names that a browser brings; another one is put here when a script needs it, and is seen in review that way."""
REFUSED = frozenset({"eval", "Function", "innerHTML", "outerHTML", "insertAdjacentHTML", "writeln"})
"""Ways in which a text becomes markup or a program."""
OWN_MARKUP = "written by our own server, every text in it escaped"
"""The one reason for it, written behind its line."""
_NAMES = ("identifier", "shorthand_property_identifier", "shorthand_property_identifier_pattern")
_NAMED = ("identifier", "shorthand_property_identifier_pattern")
_DECLARED_BY = {
    "variable_declarator": "name",
    "function_declaration": "name",
    "class_declaration": "name",
    "arrow_function": "parameter",
    "catch_clause": "parameter",
    "for_in_statement": "left",
}
_PARSER = Parser(Language(tree_sitter_javascript.language()))


def lint(script: str) -> list[str]:
    """What is wrong with a script: `line: what`, in order.

    Args:
        script: its text

    """
    nodes = list(_walked(_PARSER.parse(script.encode()).root_node))
    used = Counter(_text(node) for node in nodes if node.type in _NAMES)
    declared = {_text(name): name for node in nodes for name in _names_of(node)}
    exported = {_text(name) for node in nodes if node.type == "export_statement" for name in _top(node)}
    found = [(node, told) for node in nodes for told in _of_node(node)]
    found += [(n, f"`{_text(n)}` is declared nowhere") for n in nodes if _is_free(n, declared)]
    for name, node in declared.items():
        if used[name] == 1 and name not in exported and not name.startswith("_"):
            found.append((node, f"`{name}` is not used"))
    return [f"{node.start_point[0] + 1}: {told}" for node, told in sorted(found, key=lambda one: one[0].start_point[0])]


def exports(script: str) -> set[str]:
    """Names that a script gives to others."""
    nodes = _walked(_PARSER.parse(script.encode()).root_node)
    return {_text(name) for node in nodes if node.type == "export_statement" for name in _top(node)}


def _of_node(node: Node) -> Iterator[str]:
    if node.type == "ERROR" or node.is_missing:
        yield "this is no JavaScript"
    elif node.type == "var":
        yield "`const` or `let`, never `var`"
    elif node.type in {"==", "!="}:
        yield f"`{node.type}=`, never `{node.type}`"
    elif node.type in {"with_statement", "debugger_statement"} or _text(node).startswith("console."):
        yield "not for a page at work"
    elif node.type in {"identifier", "property_identifier"} and _text(node) in REFUSED and not _answered_for(node):
        yield f"`{_text(node)}` makes markup or a program of a text"


def _answered_for(node: Node) -> bool:
    """Whether its line says where the markup comes from."""
    line = node
    while line.parent is not None and line.parent.start_point[0] == line.start_point[0]:
        line = line.parent
    return any(_text(one).endswith(OWN_MARKUP) for one in _beside(line))


def _beside(node: Node) -> Iterator[Node]:
    """Remarks that end a node's line."""
    parent = node.parent or node
    return (one for one in _walked(parent) if one.type == "comment" and one.start_point[0] == node.start_point[0])


def _is_free(node: Node, declared: dict[str, Node]) -> bool:
    read = node.type in {"identifier", "shorthand_property_identifier"}
    return read and _text(node) not in declared and _text(node) not in BROWSERS | REFUSED


def _names_of(node: Node) -> Iterator[Node]:
    """Names that a node declares."""
    if node.type == "import_specifier":
        named = node.child_by_field_name("alias") or node.child_by_field_name("name")
        parts = [named] if named else []
    elif node.type == "formal_parameters":
        parts = list(node.children)
    else:
        part = node.child_by_field_name(_DECLARED_BY.get(node.type, "")) if node.type in _DECLARED_BY else None
        parts = [part] if part else []
    for part in parts:
        yield from (one for one in _walked(part) if one.type in _NAMED)


def _top(export: Node) -> Iterator[Node]:
    """Names that the declaration right behind `export` makes."""
    for child in export.children:
        if child.type in {"function_declaration", "class_declaration"}:
            yield from _names_of(child)
        for declarator in child.children if child.type == "lexical_declaration" else ():
            yield from _names_of(declarator)


def _walked(node: Node) -> Iterator[Node]:
    yield node
    for child in node.children:
        yield from _walked(child)


def _text(node: Node) -> str:
    return (node.text or b"").decode()
