"""What several sections of parts share: usual moduli, and checks of two fields of one section."""

from __future__ import annotations

from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError
from jounce.conventions.units import GPA, Kind, show

SHEAR_MODULUS = Measured(78.5 * GPA, 0.0, "default: hot-formed spring steel, EN 10089")
YOUNGS_MODULUS = Measured(206 * GPA, 0.0, "default: hot-formed spring steel, EN 10089")
POISSON_RATIO = Measured(0.3, 0.0, "default: steel")
NOTHING = Measured(0.0)


def check_apart(section: Section, *pairs: tuple[str, str]) -> None:
    """Refuse two points of a section that are one; a point that is not given is apart from all.

    Args:
        section: the section
        pairs: names of the points

    """
    for one, other in pairs:
        here, there = getattr(section, one), getattr(section, other)
        if here is not None and there is not None and here.distance(there) <= 1e-3:
            refuse(InputError(f'"{one}" and "{other}" are the same point', todo="Measure both.", place=other))


def check_bore(diameter: Measured, inner: Measured) -> None:
    """Refuse a bore that is not smaller than its bar.

    Args:
        diameter: outer diameter [m]
        inner: bore [m]

    """
    if inner.value < diameter.value:
        return
    refuse(
        InputError(
            "The bore is not smaller than the bar",
            found=show(inner.value, Kind.LENGTH),
            allowed=f"less than {show(diameter.value, Kind.LENGTH)}",
            todo="Give the bore of a hollow bar, or leave the key out for a solid one.",
            place="inner_diameter",
        )
    )
