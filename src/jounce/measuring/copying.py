"""Another car's document as a beginning: every number says that it is assumed, until it is measured."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.car.file.assumed import ASSUMED
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.reading import parse_car, read_toml
from jounce.car.file.rewriting import rewritten
from jounce.car.file.walk import leaves
from jounce.conventions.axes import ENDS, End
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.measuring.named_points import NAMED
from jounce.measuring.writing import value_at

__all__ = ["as_assumed"]

_WIDE, _WIDE_ANGLE, _WIDE_POINT = 0.05, "0.5 deg", "10 mm"
"""± of what is assumed, common practice, no source: a share of the value; of angles and points a fixed one."""


def as_assumed(text: str, axles: Mapping[End, str], rest: Mapping[End, str] | None = None) -> str:
    """Another car's document as a beginning: every number says that it is assumed, with a wide ±.

    What cannot say so is left out: splines, local limits, and where parts of the shelf fit.

    Args:
        text: the other car's document
        axles: which car each of its axles is of
        rest: which car the weights and heights of each end are of, where it is another
    """
    document, written = parse_car(text, "the beginning"), read_toml(text, "the beginning")
    rest = rest or axles
    origin = f"{ASSUMED}, as {rest[End.FRONT]}"
    changed: dict[str, object] = {"interfaces": None, "limits": None, "trammel": None}
    changed |= {f"{axle}.pivots_from": f"{ASSUMED}, as {axles[axle]}" for axle in ENDS}
    changed |= {f"{axle}.pivots_plus_minus": _WIDE_POINT for axle in ENDS}
    for axle in ENDS:
        changed |= {f"{axle}.torsion_bar.{key}": None for key in ("splines_arm", "splines_anchor")}
    for name_, place in document.places.items():
        at = {"at": [round(1e3 * number, 2) for number in place.at.xyz], "plus_minus": _WIDE_POINT, "from": origin}
        mass = {"value": f"{place.mass.value:.6g} kg", "from": origin}
        changed |= {f"places.{name_}.at": at, f"places.{name_}.mass": mass}
    changed |= _named_assumed(document, written, origin)
    for leaf in leaves(document):
        raw = value_at(written, leaf.name)
        if raw is None or leaf.name.startswith(("interfaces.", "limits.")) or leaf.name.endswith("plus_minus"):
            continue
        end = End.REAR if "rear" in leaf.name.replace("_", ".").split(".") else End.FRONT
        origin = f"{ASSUMED}, as {(axles if leaf.name.startswith(f'{end}.') else rest)[end]}"
        if isinstance(leaf.value, MeasuredPoint):
            place = raw["at"] if isinstance(raw, dict) else raw
            if isinstance(raw, dict):
                changed[leaf.name] = {"at": place, "plus_minus": _WIDE_POINT, "from": origin}
        elif isinstance(leaf.value, Measured) and hasattr(leaf.form, "kind"):
            kind = leaf.form.kind
            changed[leaf.name] = {**_wide(raw, leaf.value, kind), "from": origin}
    return rewritten(text, changed)


def _named_assumed(document: CarDocument, written: object, origin: str) -> dict[str, object]:
    """Points near a tyre, low points, hoses and joints: each number as the other car has it, wide and assumed."""
    changed: dict[str, object] = {}
    for kind, told in NAMED.items():
        for name, one in getattr(document, kind).items():
            for key in told.points:
                at = [round(1e3 * number, 2) for number in getattr(one, key).xyz]
                changed[f"{kind}.{name}.{key}"] = {"at": at, "plus_minus": _WIDE_POINT, "from": origin}
            for key, _, unit, *_ in told.numbers:
                value = getattr(one, key)
                if value is not None:
                    raw = value_at(written, f"{kind}.{name}.{key}")
                    changed[f"{kind}.{name}.{key}"] = {**_wide(raw, value, unit), "from": origin}
    return changed


def _wide(raw: object, value: Measured, kind: Kind) -> dict[str, object]:
    """A value without its own ±, and a wide one."""
    bare = raw["value"] if isinstance(raw, dict) else raw
    if isinstance(bare, str):
        bare = bare.split("±")[0].strip() if "±" in bare and not bare.split("±")[0].strip()[-1:].isdigit() else bare
    if isinstance(bare, str) and "±" in bare:  # "22.5 ± 0.1 mm": the unit stands behind the ±
        unit = unit_of(kind)
        bare = f"{round(value.value / unit.factor, 6):g} {unit.symbol}".removesuffix(" -")
    if kind is Kind.ANGLE:
        return {"value": bare, "plus_minus": _WIDE_ANGLE}
    band = _WIDE * abs(to_display(value.value, kind))
    symbol = unit_of(kind).symbol
    return {"value": bare, "plus_minus": f"{band:.2g} {symbol}".removesuffix(" -")} if band else {"value": bare}
