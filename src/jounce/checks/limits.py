"""Every limit of a check that no part and no document tells, each with where it comes from; and what decides each check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import DEG, MM, MPA, Kind

__all__ = ["COMMON_PRACTICE", "CRITICAL", "LIMITS", "OF_PARTS", "OF_WISHES", "USUAL", "CheckLimits", "Limit"]

COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit.

    Attributes:
        code: check that holds to it
        value: the limit [SI]
        kind: what it measures
        words: what it limits
        origin: where it comes from

    """

    code: str
    value: float
    kind: Kind
    words: str
    origin: str = COMMON_PRACTICE

    def __float__(self) -> float:
        """The bare value [SI]."""
        return self.value


LIMITS: Mapping[str, Limit] = {
    "least_free_bump": Limit("TRV-01", 10 * MM, Kind.LENGTH, "free travel to the rubber, at least"),
    "least_bump": Limit("TRV-02", 45 * MM, Kind.LENGTH, "travel of a lowered car to solid, at least"),
    "least_kept": Limit("TRV-03", 2 / 3, Kind.SHARE, "share of the travel as found that is kept, at least"),
    "least_bump_kept": Limit("TRV-06", 0.5, Kind.SHARE, "share of the bump travel as found that is kept, at least"),
    "least_rebound": Limit(
        "TRV-04",
        40 * MM,
        Kind.LENGTH,
        "travel left in droop, at least; where a local rule asks for more it goes into the rule set",
    ),
    "least_damping": Limit("DMP-01", 0.2, Kind.RATIO, "damping ratio in heave of a soft road car, at least"),
    "most_damping": Limit("DMP-01", 0.7, Kind.RATIO, "damping ratio in heave of a sporting car, at most"),
    "brisk": Limit("GRP-01", 0.6 * GRAVITY, Kind.ACCELERATION, "lateral acceleration at which grip is looked at"),
    "rear_reserve": Limit(
        "GRP-02", 0.01, Kind.SHARE, "grip that the rear axle keeps in hand where the front one's is used up, at least"
    ),
    "tipping_safety": Limit(
        "TIP-01",
        1.1,
        Kind.RATIO,
        "how many times what the road gives a turn may ask before the car tips over, at least",
    ),
    "least_rubber_turn": Limit(
        "RUB-01", 0.3 * GRAVITY, Kind.ACCELERATION, "lateral acceleration up to which bump rubbers stay free, at least"
    ),
    "front_locks_first_to": Limit(
        "BRK-01",
        0.8 * GRAVITY,
        Kind.ACCELERATION,
        "braking up to which the rear axle asks for no more of its load than the front one, at least",
        "UN Regulation 13-H, annex 5: from 0.15 to 0.8 g",
    ),
    "least_free_laden": Limit(
        "LDN-01", 1 * MM, Kind.LENGTH, "travel of a laden car to the rubber: it does not stand on it, at least"
    ),
    "least_lock_gap": Limit(
        "WHL-01", 5 * MM, Kind.LENGTH, "gap of a tyre at full lock to body, arm or strut, at least"
    ),
    "least_tyre_gap": Limit("NER-01", 5 * MM, Kind.LENGTH, "gap of a tyre to a named point over its travel, at least"),
    "least_hose_slack": Limit("HOS-02", 15 * MM, Kind.LENGTH, "slack of a brake hose over travel and locks, at least"),
    "least_laden_clearance": Limit("LDN-02", 80 * MM, Kind.LENGTH, "ground clearance of a laden car, at least"),
    "least_laden_arch": Limit(
        "LDN-03", 20 * MM, Kind.LENGTH, "travel of a laden car until a tyre meets its arch, at least"
    ),
    "buckling_safety": Limit("PAN-02", 3.0, Kind.RATIO, "how many times its load a rod could carry before it buckles"),
    "least_engaged": Limit("PAN-03", 1.5, Kind.RATIO, "thread engaged per diameter, at least"),
    "most_off_centre": Limit(
        "PAN-01", 5 * MM, Kind.LENGTH, "rear axle beside the middle on a rod of one length, at most"
    ),
    "most_seat_off": Limit("PER-01", 3 * MM, Kind.LENGTH, "seat without a thread from where it is wanted, at most"),
    "most_bar_stress": Limit(
        "ARB-01", 700 * MPA, Kind.STRESS, "equivalent stress of a tempered bar at full roll, at most"
    ),
    "most_leaf_stress": Limit(
        "LEF-01", 900 * MPA, Kind.STRESS, "bending stress of tempered leaves at full bump, at most"
    ),
    "most_bending": Limit("STR-01", 400 * MPA, Kind.STRESS, "bending stress of a hardened piston rod, at most"),
    "tape": Limit("HGT-01", 1 * MM, Kind.LENGTH, "what a tape misreads, beyond half a step of each adjuster"),
    "most_uneven": Limit(
        "HGT-02", 5 * MM, Kind.LENGTH, "left and right heights apart, beyond what was asked for, at most"
    ),
    "most_cross": Limit("XWT-01", 0.005, Kind.SHARE, "cross weight off what was wanted, at most"),
    "most_angle": Limit(
        "ALN-01", 0.02 * DEG, Kind.ANGLE, "angle off what was wanted: what the screen of an aligner shows"
    ),
    "most_off_height": Limit(
        "ALN-03",
        MM / 10,
        Kind.LENGTH,
        "rack or joint beside the height that a bump steer asks, beyond half a shim, at most",
    ),
    "most_aim": Limit("LMP-01", 0.005, Kind.SHARE, "change of the lamps' aim within the usual range of their setting"),
}
"""Limits by name; how a part or a rule of the user's own limits something stands in its document."""


@dataclass(frozen=True, slots=True)
class CheckLimits:
    """The table with what a shop holds in place of some of it.

    Attributes:
        own: the shop's own limits by name, each with its value and source

    """

    own: Mapping[str, tuple[float, str]] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Limit:
        """The limit of a name."""
        limit = LIMITS[name]
        if name not in self.own:
            return limit
        value, source = self.own[name]
        return replace(limit, value=value, origin=source)


USUAL = CheckLimits()


CRITICAL = frozenset(
    {
        "BAR-01",  # stress beyond limit
        "BAR-02",  # captive springs
        "BAR-03",
        "SPR-01",
        "SPR-04",
        "LEF-01",
        "STR-01",
        "PAN-02",
        "ARB-01",
        "HOS-01",  # a torn hose leaves the car without brakes
        "HOS-02",
        "JNT-01",  # a ball joint levered out lets the wheel go
        "WHL-01",  # room at full lock
        "TIP-01",  # tipping over
    }
)
"""Codes of the checks whose failure can kill: springs that come loose, stress, tipping over, room to steer and to brake."""

OF_WISHES = frozenset(
    {
        *(
            "ALN-01",
            "ALN-03",
            "AXS-01",
            "BRK-01",
            "GND-01",
            "GND-02",
            "GND-03",
            "GRP-02",
            "LDN-01",
            "LDN-02",
            "LDN-03",
            "LMP-01",
            "LNK-01",
        ),
        *("LSV-01", "PAN-01", "PAN-02", "PAN-03", "PLT-01", "PLT-02", "RUB-01", "SHM-01", "WHL-01"),
    }
)
"""Codes of the checks that heights, loads, alignment, brakes, rods and plates decide, not the parts of a search alone; and
those of the limit of grip, where tyres are known too little to leave a package out for it."""

OF_PARTS = frozenset(
    {
        *("ALN-02", "ARB-01", "ARC-01", "BAR-01", "BAR-02", "BAR-03", "DMP-01", "GRP-01", "HGT-01", "HGT-02"),
        *(
            "HOS-01",
            "HOS-02",
            "JNT-01",
            "LEF-01",
            "NER-01",
            "PER-01",
            "SHF-01",
            "SHF-02",
            "SPR-01",
            "SPR-02",
            "SPR-03",
            "SPR-04",
            "STR-01",
            "TIP-01",
        ),
        *("TRV-01", "TRV-02", "TRV-03", "TRV-04", "TRV-05", "TRV-06", "XWT-01"),
    }
)
"""Codes of the checks that the parts decide: a package that fails one is no package. Every code is here or there."""
