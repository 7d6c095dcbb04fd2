"""The table of kinds and units that the workshop trade uses, as data.

Every factor is exact by definition (NIST SP 811, Appendix B): the inch is 0.0254 m, the pound 0.453 592 37 kg,
standard gravity 9.806 65 m/s². :mod:`jounce.conventions.units` reads and shows values with this table.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import pi

# Factors: multiply by one of these to get SI.
MM = 1e-3
CM = 1e-2
INCH = 0.0254
FOOT = 12 * INCH
DEG = pi / 180
ARC_MINUTE = DEG / 60
ARC_SECOND = DEG / 3600
POUND = 0.45359237
STANDARD_GRAVITY = 9.80665
LBF = POUND * STANDARD_GRAVITY
KGF = STANDARD_GRAVITY
KN = 1e3
DAN = 10.0
N_PER_MM = 1e3
LBF_PER_IN = LBF / INCH
KGF_PER_MM = KGF / MM
N_M_PER_DEG = 1 / DEG
LBF_FT = LBF * FOOT
LBF_IN = LBF * INCH
KGF_M = KGF
LBF_FT_PER_DEG = LBF_FT / DEG
LBF_IN_PER_DEG = LBF_IN / DEG
KGF_M_PER_DEG = KGF_M / DEG
MPA = 1e6
GPA = 1e9
BAR = 1e5
PSI = LBF / INCH**2
KSI = 1e3 * PSI
KGF_PER_MM2 = KGF / MM**2
KGF_PER_CM2 = KGF / CM**2
KM_PER_H = 1 / 3.6
MPH = 0.44704
LBF_S_PER_IN = LBF / INCH
N_S_PER_MM = 1e3
G_PER_CM3 = 1e3
PERCENT = 1e-2
DEG_PER_MM = DEG / MM
DEG_PER_IN = DEG / INCH


class Kind(StrEnum):
    """What a number measures; decides which units a person may write."""

    LENGTH = "length"
    ANGLE = "angle"
    SPRING_RATE = "spring rate"
    TORSIONAL_RATE = "torsional rate"
    ROLL_STIFFNESS = "roll stiffness"
    FORCE = "force"
    TORQUE = "torque"
    MASS = "mass"
    STRESS = "stress"
    MODULUS = "modulus"
    SPEED = "speed"
    DAMPING = "damping"
    PRESSURE = "pressure"
    FREQUENCY = "frequency"
    DENSITY = "density"
    SHARE = "share"
    RATIO = "ratio"
    RATIO_ANGLE = "angle per length"
    ENERGY = "energy"
    TORSION_CONSTANT = "torsion constant"
    ANGLE_PER_FORCE = "angle per force"
    LENGTH_PER_FORCE = "length per force"
    ANGLE_PER_TORQUE = "angle per torque"
    LENGTH_PER_TORQUE = "length per torque"
    ACCELERATION = "acceleration"
    ANGLE_PER_ACCELERATION = "angle per acceleration"
    INERTIA = "moment of inertia"
    DURATION = "duration"
    DRIVING_SPEED = "driving speed"
    VIBRATION = "vibration"
    VOLUME = "volume"
    RATE_PER_FORCE = "rate per force"
    POWER = "power"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of one kind.

    Attributes:
        symbol: as shown and as written
        factor: SI value of one of it
        suffix: ending of a column name, without the leading "_"; "" for a plain ratio
        decimals: digits after the point in a text table
        spellings: other ways in which the trade writes it

    """

    symbol: str
    factor: float
    suffix: str
    decimals: int
    spellings: tuple[str, ...] = ()


_TORSION = (
    Unit("N·m/deg", N_M_PER_DEG, "n_m_per_deg", 2, ("N·m/°", "Nm/deg", "Nm/°")),
    Unit("N·m/rad", 1.0, "n_m_per_rad", 0, ("Nm/rad",)),
    Unit("lbf·ft/deg", LBF_FT_PER_DEG, "lbf_ft_per_deg", 2, ("lb·ft/deg", "ft·lb/deg", "ft·lbf/deg", "lbft/deg")),
    Unit("lbf·in/deg", LBF_IN_PER_DEG, "lbf_in_per_deg", 1, ("lb·in/deg", "in·lb/deg", "in·lbf/deg", "lbin/deg")),
    Unit("kgf·m/deg", KGF_M_PER_DEG, "kgf_m_per_deg", 3, ("kg·m/deg", "kgm/deg")),
    Unit("kgf·m/rad", KGF_M, "kgf_m_per_rad", 1, ("kg·m/rad", "kgm/rad")),
)

_STRESS = (
    Unit("MPa", MPA, "mpa", 0, ("N/mm²", "N/mm2", "N/mm^2")),
    Unit("GPa", GPA, "gpa", 2, ("kN/mm²", "kN/mm2", "kN/mm^2")),
    Unit("Pa", 1.0, "pa", 0, ("N/m²", "N/m2")),
    Unit("kgf/mm²", KGF_PER_MM2, "kgf_per_mm2", 1, ("kgf/mm2", "kg/mm²", "kg/mm2", "kgf/mm^2")),
    Unit("psi", PSI, "psi", 0, ("lbf/in²", "lbf/in2", "lb/in²", "lb/in2")),
    Unit("ksi", KSI, "ksi", 2),
    Unit("daN/mm²", DAN / MM**2, "dan_per_mm2", 2, ("daN/mm2", "daN/mm^2")),
)

UNITS: dict[Kind, tuple[Unit, ...]] = {
    Kind.LENGTH: (
        Unit("mm", MM, "mm", 1),
        Unit("in", INCH, "in", 3, ("inch", "inches", '"', "″")),
        Unit("m", 1.0, "m", 4),
        Unit("cm", CM, "cm", 2),
        Unit("ft", FOOT, "ft", 3, ("'", "′", "feet", "foot")),
        Unit("yd", 3 * FOOT, "yd", 4, ("yard", "yards")),
        Unit("thou", INCH / 1e3, "thou", 0, ("mil", "mils")),
        Unit("µm", 1e-6, "um", 0, ("μm", "um", "micron", "microns")),
    ),
    Kind.ANGLE: (
        Unit("deg", DEG, "deg", 2, ("°", "degree", "degrees", "º")),
        Unit("arcmin", ARC_MINUTE, "arcmin", 1, ("'", "′", "min", "minutes")),
        Unit("arcsec", ARC_SECOND, "arcsec", 0, ('"', "″", "seconds")),
        Unit("rad", 1.0, "rad", 5),
        Unit("mrad", 1e-3, "mrad", 2),
        Unit("turn", 360 * DEG, "turn", 4, ("turns", "rev")),
    ),
    Kind.SPRING_RATE: (
        Unit("N/mm", N_PER_MM, "n_per_mm", 2, ("kN/m",)),
        Unit("lbf/in", LBF_PER_IN, "lbf_per_in", 1, ("lb/in", "lbs/in", "lb/inch", "lbf/inch", "lbs/inch")),
        Unit("kgf/mm", KGF_PER_MM, "kgf_per_mm", 3, ("kg/mm", "kgs/mm")),
        Unit("N/m", 1.0, "n_per_m", 0),
        Unit("kgf/cm", KGF / CM, "kgf_per_cm", 2, ("kg/cm",)),
        Unit("lbf/ft", LBF / FOOT, "lbf_per_ft", 0, ("lb/ft", "lbs/ft")),
        Unit("daN/mm", DAN / MM, "dan_per_mm", 3),
        Unit("N/cm", 1 / CM, "n_per_cm", 1),
        Unit("kN/mm", KN / MM, "kn_per_mm", 5),
    ),
    Kind.TORSIONAL_RATE: _TORSION,
    Kind.ROLL_STIFFNESS: _TORSION,
    Kind.FORCE: (
        Unit("N", 1.0, "n", 0),
        Unit("lbf", LBF, "lbf", 1, ("lb", "lbs")),
        Unit("kgf", KGF, "kgf", 1, ("kg", "kp")),
        Unit("kN", KN, "kn", 3),
        Unit("daN", DAN, "dan", 1),
    ),
    Kind.TORQUE: (
        Unit("N·m", 1.0, "n_m", 1, ("Nm",)),
        Unit("lbf·ft", LBF_FT, "lbf_ft", 1, ("lb·ft", "ft·lb", "ft·lbf", "lbft", "lbs·ft")),
        Unit("lbf·in", LBF_IN, "lbf_in", 0, ("lb·in", "in·lb", "in·lbf", "lbs·in")),
        Unit("kgf·m", KGF_M, "kgf_m", 2, ("kg·m", "kgm", "m·kg", "mkg")),
        Unit("daN·m", DAN, "dan_m", 2, ("daNm",)),
        Unit("kN·m", KN, "kn_m", 4, ("kNm",)),
    ),
    Kind.MASS: (
        Unit("kg", 1.0, "kg", 1, ("kgf",)),  # a scale that reads kgf shows the mass in kg
        Unit("lb", POUND, "lb", 1, ("lbs", "lbm", "lbf")),
        Unit("g", 1e-3, "g", 0),
        Unit("st", 14 * POUND, "st", 3, ("stone", "stones")),
        Unit("oz", POUND / 16, "oz", 1, ("ounce", "ounces")),
        Unit("t", 1e3, "t", 4, ("tonne", "tonnes")),
    ),
    Kind.STRESS: _STRESS,
    Kind.MODULUS: _STRESS,
    Kind.SPEED: (
        Unit("m/s", 1.0, "m_per_s", 3),
        Unit("mm/s", MM, "mm_per_s", 0),
        Unit("in/s", INCH, "in_per_s", 2, ("inch/s", "ips")),
        Unit("km/h", KM_PER_H, "km_per_h", 1, ("kph", "kmh")),
        Unit("mph", MPH, "mph", 1),
        Unit("ft/s", FOOT, "ft_per_s", 3),
        Unit("cm/s", CM, "cm_per_s", 1),
    ),
    Kind.DAMPING: (
        Unit("N·s/m", 1.0, "n_s_per_m", 0, ("Ns/m",)),
        Unit("N·s/mm", N_S_PER_MM, "n_s_per_mm", 3, ("Ns/mm",)),
        Unit("lbf·s/in", LBF_S_PER_IN, "lbf_s_per_in", 2, ("lb·s/in", "lbs·s/in")),
        Unit("kgf·s/m", KGF, "kgf_s_per_m", 1, ("kg·s/m",)),
    ),
    Kind.PRESSURE: (
        Unit("bar", BAR, "bar", 2),
        Unit("psi", PSI, "psi", 1, ("lbf/in²", "lb/in²", "lb/in2")),
        Unit("kgf/cm²", KGF_PER_CM2, "kgf_per_cm2", 2, ("kgf/cm2", "kg/cm²", "kg/cm2")),
        Unit("kPa", 1e3, "kpa", 0),
        Unit("MPa", MPA, "mpa", 4),
        Unit("mbar", BAR / 1e3, "mbar", 0),
        Unit("Pa", 1.0, "pa", 0),
    ),
    Kind.FREQUENCY: (Unit("Hz", 1.0, "hz", 2, ("1/s",)), Unit("1/min", 1 / 60, "per_min", 0, ("cpm",))),
    Kind.DENSITY: (
        Unit("kg/m³", 1.0, "kg_per_m3", 0, ("kg/m3", "kg/m^3")),
        Unit("g/cm³", G_PER_CM3, "g_per_cm3", 3, ("g/cm3", "kg/dm³", "kg/dm3")),
    ),
    Kind.SHARE: (Unit("%", PERCENT, "percent", 1, ("percent",)),),
    Kind.RATIO: (Unit("-", 1.0, "", 3), Unit("%", PERCENT, "percent", 1, ("percent",))),
    Kind.RATIO_ANGLE: (
        Unit("deg/mm", DEG_PER_MM, "deg_per_mm", 4, ("°/mm",)),
        Unit("deg/in", DEG_PER_IN, "deg_per_in", 3, ("°/in",)),
        Unit("rad/m", 1.0, "rad_per_m", 3),
        Unit("deg/m", DEG, "deg_per_m", 2, ("°/m",)),
    ),
    Kind.ENERGY: (
        Unit("J", 1.0, "j", 1, ("N·m", "Nm")),
        Unit("lbf·ft", LBF_FT, "lbf_ft", 1, ("ft·lb", "ft·lbf", "lb·ft")),
        Unit("kgf·m", KGF_M, "kgf_m", 2, ("kg·m",)),
        Unit("kJ", 1e3, "kj", 3),
    ),
    Kind.TORSION_CONSTANT: (
        Unit("mm⁴", MM**4, "mm4", 0, ("mm4", "mm^4")),
        Unit("cm⁴", CM**4, "cm4", 3, ("cm4", "cm^4")),
        Unit("m⁴", 1.0, "m4", 9, ("m4", "m^4")),
        Unit("in⁴", INCH**4, "in4", 4, ("in4", "in^4")),
    ),
    Kind.ANGLE_PER_FORCE: (
        Unit("deg/kN", DEG / KN, "deg_per_kn", 3, ("°/kN",)),
        Unit("deg/lbf", DEG / LBF, "deg_per_lbf", 6, ("°/lbf",)),
        Unit("deg/kgf", DEG / KGF, "deg_per_kgf", 5, ("°/kgf",)),
        Unit("rad/N", 1.0, "rad_per_n", 9),
    ),
    Kind.LENGTH_PER_FORCE: (
        Unit("mm/kN", MM / KN, "mm_per_kn", 3),
        Unit("in/lbf", INCH / LBF, "in_per_lbf", 6),
        Unit("mm/kgf", MM / KGF, "mm_per_kgf", 5),
        Unit("m/N", 1.0, "m_per_n", 9),
    ),
    Kind.ANGLE_PER_TORQUE: (
        Unit("deg/(kN·m)", DEG / KN, "deg_per_kn_m", 3, ("deg/kN·m", "°/(kN·m)")),
        Unit("deg/(lbf·ft)", DEG / LBF_FT, "deg_per_lbf_ft", 6, ("deg/lbf·ft",)),
        Unit("deg/(kgf·m)", DEG / KGF_M, "deg_per_kgf_m", 5, ("deg/kgf·m",)),
        Unit("rad/(N·m)", 1.0, "rad_per_n_m", 9),
    ),
    Kind.ACCELERATION: (
        Unit("g", STANDARD_GRAVITY, "g", 2),
        Unit("m/s²", 1.0, "m_per_s2", 2, ("m/s2", "m/s^2")),
        Unit("ft/s²", FOOT, "ft_per_s2", 1, ("ft/s2", "ft/s^2")),
    ),
    Kind.ANGLE_PER_ACCELERATION: (
        Unit("deg/g", DEG / STANDARD_GRAVITY, "deg_per_g", 2, ("°/g",)),
        Unit("deg/(m/s²)", DEG, "deg_per_m_per_s2", 3, ("deg/(m/s2)",)),
        Unit("rad/(m/s²)", 1.0, "rad_per_m_per_s2", 5, ("rad/(m/s2)",)),
    ),
    Kind.INERTIA: (
        Unit("kg·m²", 1.0, "kg_m2", 0, ("kg·m2", "kg·m^2", "kgm²", "kgm2", "kg m²", "kg m2")),
        Unit("lb·ft²", POUND * FOOT**2, "lb_ft2", 0, ("lb·ft2", "lb·ft^2", "lbft²", "lb ft²")),
    ),
    Kind.DURATION: (Unit("s", 1.0, "s", 3), Unit("ms", 1e-3, "ms", 0)),
    Kind.DRIVING_SPEED: (
        Unit("km/h", KM_PER_H, "km_per_h", 1, ("kph", "kmh")),
        Unit("mph", MPH, "mph", 1),
        Unit("m/s", 1.0, "m_per_s", 2),
    ),
    Kind.VIBRATION: (Unit("m/s²", 1.0, "m_per_s2", 2, ("m/s2", "m/s^2")),),
    Kind.VOLUME: (
        Unit("cm³", CM**3, "cm3", 1, ("cm3", "cm^3", "ml", "cc", "ccm")),
        Unit("in³", INCH**3, "in3", 2, ("in3", "in^3", "cu in")),
        Unit("l", 1e-3, "l", 3, ("litre", "dm³", "dm3")),
        Unit("m³", 1.0, "m3", 6, ("m3", "m^3")),
    ),
    Kind.RATE_PER_FORCE: (
        Unit("N/mm/kN", N_PER_MM / KN, "n_per_mm_per_kn", 2, ("(N/mm)/kN",)),
        Unit("1/in", 1 / INCH, "per_in", 3, ("lbf/in/lbf",)),
        Unit("1/m", 1.0, "per_m", 2),
    ),
    Kind.POWER: (Unit("W", 1.0, "w", 0), Unit("kW", 1e3, "kw", 3)),
    Kind.LENGTH_PER_TORQUE: (
        Unit("mm/(kN·m)", MM / KN, "mm_per_kn_m", 3, ("mm/kN·m",)),
        Unit("in/(lbf·ft)", INCH / LBF_FT, "in_per_lbf_ft", 6),
        Unit("mm/(kgf·m)", MM / KGF_M, "mm_per_kgf_m", 5),
        Unit("1/N", 1.0, "per_n", 9),
    ),
}

# The first unit of each kind is its default; these sets name what differs from it.
UNIT_SETS: dict[str, dict[Kind, str]] = {
    "metric": {},
    "inch": {
        Kind.LENGTH: "in",
        Kind.SPRING_RATE: "lbf/in",
        Kind.TORSIONAL_RATE: "lbf·ft/deg",
        Kind.ROLL_STIFFNESS: "lbf·ft/deg",
        Kind.FORCE: "lbf",
        Kind.TORQUE: "lbf·ft",
        Kind.MASS: "lb",
        Kind.STRESS: "psi",
        Kind.MODULUS: "psi",
        Kind.SPEED: "in/s",
        Kind.DRIVING_SPEED: "mph",
        Kind.INERTIA: "lb·ft²",
        Kind.DAMPING: "lbf·s/in",
        Kind.PRESSURE: "psi",
        Kind.RATIO_ANGLE: "deg/in",
        Kind.ENERGY: "lbf·ft",
        Kind.TORSION_CONSTANT: "in⁴",
        Kind.ANGLE_PER_FORCE: "deg/lbf",
        Kind.LENGTH_PER_FORCE: "in/lbf",
        Kind.ANGLE_PER_TORQUE: "deg/(lbf·ft)",
        Kind.LENGTH_PER_TORQUE: "in/(lbf·ft)",
        Kind.VOLUME: "in³",
        Kind.RATE_PER_FORCE: "1/in",
    },
    "kgf": {
        Kind.SPRING_RATE: "kgf/mm",
        Kind.TORSIONAL_RATE: "kgf·m/deg",
        Kind.ROLL_STIFFNESS: "kgf·m/deg",
        Kind.FORCE: "kgf",
        Kind.TORQUE: "kgf·m",
        Kind.STRESS: "kgf/mm²",
        Kind.MODULUS: "kgf/mm²",
        Kind.DAMPING: "kgf·s/m",
        Kind.PRESSURE: "kgf/cm²",
        Kind.ENERGY: "kgf·m",
        Kind.ANGLE_PER_FORCE: "deg/kgf",
        Kind.LENGTH_PER_FORCE: "mm/kgf",
        Kind.ANGLE_PER_TORQUE: "deg/(kgf·m)",
        Kind.LENGTH_PER_TORQUE: "mm/(kgf·m)",
    },
}

# MODULUS shares the units of STRESS but is spoken of in GPa.
DEFAULT_UNIT: dict[Kind, str] = {kind: units[0].symbol for kind, units in UNITS.items()} | {Kind.MODULUS: "GPa"}

# What a message shows as accepted spellings, by kind; the units of the table fill in for the rest.
EXAMPLES: dict[Kind, str] = {
    Kind.LENGTH: '22.5, "22.5 mm", "2.36 in", "7/8 in"',
    Kind.ANGLE: '1.25, "1.25 deg", "0°30\'", "-0°30\'"',
    Kind.SPRING_RATE: '25, "25 N/mm", "650 lbf/in", "8 kgf/mm"',
    Kind.MASS: '290, "290 kg", "640 lb"',
}
