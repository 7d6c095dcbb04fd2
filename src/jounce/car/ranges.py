"""The kinds of numbers in a car file, each with the limits that make sense for it.

Outside the hard limits a value is refused, outside the usual ones it is remarked upon. The limits are common practice
for light front-drive cars of 700 to 1100 kg, in the default units (mm, deg, kg, N/mm, GPa, MPa); they guard against
slips of the pen and wrong units and are no statement about any one car.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from jounce.car.fields import INFINITY, Direction, PointField, Quantity, Table
from jounce.car.quantity import Measured, MeasuredPoint
from jounce.conventions.units import Kind

Point = Annotated[MeasuredPoint, PointField()]
Axis3 = Annotated[tuple[float, float, float], Direction()]

# The whole car
FrontCornerWeight = Annotated[Measured, Quantity(Kind.MASS, (60, 700), (150, 450))]
RearCornerWeight = Annotated[Measured, Quantity(Kind.MASS, (60, 700), (90, 350))]
FrontUnsprungMass = Annotated[Measured, Quantity(Kind.MASS, (10, 80), (18, 50))]
RearUnsprungMass = Annotated[Measured, Quantity(Kind.MASS, (8, 120), (15, 60))]
CentreOfGravityHeight = Annotated[Measured, Quantity(Kind.LENGTH, (300, 800), (420, 620))]
ArchHeight = Annotated[Measured, Quantity(Kind.LENGTH, (100, 800), (250, 480))]
GroundClearance = Annotated[Measured, Quantity(Kind.LENGTH, (10, 500), (90, 180))]
LegalClearance = Annotated[Measured, Quantity(Kind.LENGTH, (0, 500))]

# Wheel and alignment
Camber = Annotated[Measured, Quantity(Kind.ANGLE, (-8, 8), (-4.5, 1.5))]
Toe = Annotated[Measured, Quantity(Kind.ANGLE, (-3, 3), (-0.7, 0.7))]
ToeDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (250, 800), (300, 650))]
LoadedRadius = Annotated[Measured, Quantity(Kind.LENGTH, (150, 450), (230, 330))]
TyreRate = Annotated[Measured, Quantity(Kind.SPRING_RATE, (40, 1000), (100, 320))]
RimDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (200, 600), (300, 460))]
WheelOffset = Annotated[Measured, Quantity(Kind.LENGTH, (-100, 100), (-20, 55))]
TyreWidth = Annotated[Measured, Quantity(Kind.LENGTH, (100, 400), (135, 235))]

# Bars
TorsionBarDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (8, 60), (14, 32))]
TorsionBarLength = Annotated[Measured, Quantity(Kind.LENGTH, (150, 2500), (400, 1400))]
RollBarDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (5, 50), (10, 32))]
InnerBarLength = Annotated[Measured, Quantity(Kind.LENGTH, (150, 2500), (600, 1400))]
InnerDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (0, 60))]
RodDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (5, 80), (12, 45))]
ShearModulus = Annotated[Measured, Quantity(Kind.MODULUS, (60, 100), (76, 83))]
YoungsModulus = Annotated[Measured, Quantity(Kind.MODULUS, (150, 250), (195, 215))]
PoissonRatio = Annotated[Measured, Quantity(Kind.RATIO, (0.2, 0.4), (0.26, 0.32))]
StressLimit = Annotated[Measured, Quantity(Kind.STRESS, (100, 1500), (400, 1200))]
SeriesRate = Annotated[Measured, Quantity(Kind.TORSIONAL_RATE, (0.1, INFINITY))]
LinkRate = Annotated[Measured, Quantity(Kind.SPRING_RATE, (1, INFINITY))]
SplineCount = Annotated[int, Field(ge=8, le=120)]
ThreadPitch = Annotated[Measured, Quantity(Kind.LENGTH, (0.3, 10), (0.75, 4))]
AdjusterLever = Annotated[Measured, Quantity(Kind.LENGTH, (10, 500), (40, 250))]
Turns = Annotated[Measured, Quantity(Kind.RATIO, (0, 200))]
RodLength = Annotated[Measured, Quantity(Kind.LENGTH, (200, 2000), (500, 1200))]

# Springs, dampers, stops
SpringRate = Annotated[Measured, Quantity(Kind.SPRING_RATE, (3, 250), (8, 100))]
SpringLength = Annotated[Measured, Quantity(Kind.LENGTH, (20, 800), (50, 500))]
WireDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (3, 30), (8, 18))]
CoilDiameter = Annotated[Measured, Quantity(Kind.LENGTH, (30, 300), (50, 180))]
CoilTurns = Annotated[Measured, Quantity(Kind.RATIO, (1, 30), (3, 15))]
PerchPosition = Annotated[Measured, Quantity(Kind.LENGTH, (-200, 200), (-80, 80))]
DamperLength = Annotated[Measured, Quantity(Kind.LENGTH, (50, 1200), (200, 700))]
GasForce = Annotated[Measured, Quantity(Kind.FORCE, (0, 3000), (0, 400))]
StopGap = Annotated[Measured, Quantity(Kind.LENGTH, (0, 300), (0, 50))]
StopHeight = Annotated[Measured, Quantity(Kind.LENGTH, (1, 250), (20, 120))]
DamperCurve = Annotated[
    tuple[tuple[float, float, float], ...],
    Table((("speed", Kind.SPEED), ("bump force", Kind.FORCE), ("rebound force", Kind.FORCE))),
]
StopCurve = Annotated[
    tuple[tuple[float, float], ...], Table((("compression", Kind.LENGTH), ("force", Kind.FORCE)), rising=True)
]

# Steering, shafts, clearances
RackTravel = Annotated[Measured, Quantity(Kind.LENGTH, (10, 200), (50, 90))]
RackRatio = Annotated[Measured, Quantity(Kind.LENGTH, (10, 200), (30, 70))]
JointAngle = Annotated[Measured, Quantity(Kind.ANGLE, (5, 60), (18, 50))]
Plunge = Annotated[Measured, Quantity(Kind.LENGTH, (0, 100), (5, 40))]
Clearance = Annotated[Measured, Quantity(Kind.LENGTH, (0, 400), (10, 250))]
PitmanTravel = Annotated[Measured, Quantity(Kind.ANGLE, (5, 80), (25, 50))]
BoxRatio = Annotated[Measured, Quantity(Kind.RATIO, (3, 60), (10, 26))]

# Bushes, and parts that twist
BushRate = Annotated[Measured, Quantity(Kind.SPRING_RATE, (1, INFINITY), (50, 50000))]
BushTwist = Annotated[Measured, Quantity(Kind.TORSIONAL_RATE, (0, INFINITY), (0, 200))]
BushCurve = Annotated[
    tuple[tuple[float, float], ...], Table((("displacement", Kind.LENGTH), ("force", Kind.FORCE)), rising=True)
]
TubeRate = Annotated[Measured, Quantity(Kind.TORSIONAL_RATE, (0.1, INFINITY))]
TorsionConstant = Annotated[Measured, Quantity(Kind.TORSION_CONSTANT, (1, INFINITY))]
