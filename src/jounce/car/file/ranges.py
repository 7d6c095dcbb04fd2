"""The kinds of numbers in a car file, each with the limits that make sense for it.

Outside the hard limits a value is refused, outside the usual ones it is remarked upon. The limits are common practice
for light front-drive cars of 700 to 1100 kg, in the default units (mm, deg, kg, N/mm, GPa, MPa); they guard against
slips of the pen and wrong units and are no statement about any one car.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from jounce.car.file.fields import (
    INFINITY,
    DirectionField,
    GroupedTableField,
    Lengths,
    PointField,
    PointsField,
    QuantityField,
    TableField,
)
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.conventions.units import Kind

Point = Annotated[MeasuredPoint, PointField()]
Points = Annotated[tuple[MeasuredPoint, ...], PointsField(1)]
CentreLine = Annotated[tuple[MeasuredPoint, ...], PointsField(2)]
LengthList = Annotated[tuple[float, ...], Lengths()]
Axis3 = Annotated[tuple[float, float, float], DirectionField()]

# The whole car
FrontCornerWeight = Annotated[Measured, QuantityField(Kind.MASS, (60, 700), (150, 450))]
RearCornerWeight = Annotated[Measured, QuantityField(Kind.MASS, (60, 700), (90, 350))]
FrontUnsprungMass = Annotated[Measured, QuantityField(Kind.MASS, (10, 80), (18, 50))]
RearUnsprungMass = Annotated[Measured, QuantityField(Kind.MASS, (8, 120), (15, 60))]
CentreOfGravityHeight = Annotated[Measured, QuantityField(Kind.LENGTH, (300, 800), (420, 620))]
ArchHeight = Annotated[Measured, QuantityField(Kind.LENGTH, (100, 800), (250, 480))]
GroundClearance = Annotated[Measured, QuantityField(Kind.LENGTH, (10, 500), (90, 180))]
LampHeight = Annotated[Measured, QuantityField(Kind.LENGTH, (200, 1500), (450, 900))]
LegalClearance = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 500))]
BrakeShare = Annotated[Measured, QuantityField(Kind.SHARE, (0, 100), (55, 90))]
Grip = Annotated[Measured, QuantityField(Kind.RATIO, (0.05, 3.0), (0.5, 1.5))]
Friction = Annotated[Measured, QuantityField(Kind.RATIO, (0.05, 2.5), (0.4, 1.3))]
RollInertia = Annotated[Measured, QuantityField(Kind.INERTIA, (50, 1500), (150, 700))]
PitchInertia = Annotated[Measured, QuantityField(Kind.INERTIA, (150, 6000), (500, 3000))]
MassAboard = Annotated[Measured, QuantityField(Kind.MASS, (-500, 1000), (0, 300))]

# Wheel and alignment
Camber = Annotated[Measured, QuantityField(Kind.ANGLE, (-8, 8), (-4.5, 1.5))]
Toe = Annotated[Measured, QuantityField(Kind.ANGLE, (-3, 3), (-0.7, 0.7))]
ToeDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (250, 800), (300, 650))]
LoadedRadius = Annotated[Measured, QuantityField(Kind.LENGTH, (150, 450), (230, 330))]
TyreRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (40, 1000), (100, 320))]
TyreCurve = Annotated[
    tuple[tuple[float, float], ...], TableField((("deflection", Kind.LENGTH), ("load", Kind.FORCE)), rising=True)
]
TyreRatePerLoad = Annotated[Measured, QuantityField(Kind.RATE_PER_FORCE, (0, 200), (0, 40))]
TyrePressure = Annotated[Measured, QuantityField(Kind.PRESSURE, (0.5, 8), (1.4, 3.2))]
PressureShare = Annotated[Measured, QuantityField(Kind.RATIO, (0, 1.5), (0.4, 1))]
RimDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (200, 600), (300, 460))]
WheelOffset = Annotated[Measured, QuantityField(Kind.LENGTH, (-100, 100), (-20, 55))]
TyreWidth = Annotated[Measured, QuantityField(Kind.LENGTH, (100, 400), (135, 235))]

# Bars
TorsionBarDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (8, 60), (14, 32))]
TorsionBarLength = Annotated[Measured, QuantityField(Kind.LENGTH, (150, 2500), (400, 1400))]
HeadDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (8, 120), (18, 50))]
FilletRadius = Annotated[Measured, QuantityField(Kind.LENGTH, (1, 500), (5, 120))]
FilletShare = Annotated[Measured, QuantityField(Kind.RATIO, (0, 1), (0.3, 0.9))]
TubeDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (8, 200), (25, 80))]
AntiRollBarDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (5, 50), (10, 32))]
InnerBarLength = Annotated[Measured, QuantityField(Kind.LENGTH, (150, 2500), (600, 1400))]
InnerDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 60))]
RodDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (5, 80), (12, 45))]
ShearModulus = Annotated[Measured, QuantityField(Kind.MODULUS, (60, 100), (76, 83))]
YoungsModulus = Annotated[Measured, QuantityField(Kind.MODULUS, (150, 250), (195, 215))]
PoissonRatio = Annotated[Measured, QuantityField(Kind.RATIO, (0.2, 0.4), (0.26, 0.32))]
StressLimit = Annotated[Measured, QuantityField(Kind.STRESS, (100, 1500), (400, 1200))]
SeriesRate = Annotated[Measured, QuantityField(Kind.TORSIONAL_RATE, (0.1, INFINITY))]
LinkRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (1, INFINITY))]
LinkLength = Annotated[Measured, QuantityField(Kind.LENGTH, (10, 1500), (30, 600))]
LinkSlack = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 30), (0, 6))]
BladeLength = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 500), (60, 300))]
BladeWidth = Annotated[Measured, QuantityField(Kind.LENGTH, (3, 100), (12, 50))]
BladeThickness = Annotated[Measured, QuantityField(Kind.LENGTH, (1, 50), (3, 15))]
BladeAngle = Annotated[Measured, QuantityField(Kind.ANGLE, (0, 90))]
HoleNumber = Annotated[int, Field(ge=1, le=20)]
SplineCount = Annotated[int, Field(ge=8, le=120)]
ThreadPitch = Annotated[Measured, QuantityField(Kind.LENGTH, (0.3, 10), (0.75, 4))]
AdjusterLever = Annotated[Measured, QuantityField(Kind.LENGTH, (10, 500), (40, 250))]
Turns = Annotated[Measured, QuantityField(Kind.RATIO, (0, 200))]
TrammelLength = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 6000))]
RodLength = Annotated[Measured, QuantityField(Kind.LENGTH, (200, 2000), (500, 1200))]
SetRodLength = Annotated[Measured, QuantityField(Kind.LENGTH, (60, 2000), (150, 900))]
FlangeLength = Annotated[Measured, QuantityField(Kind.LENGTH, (30, 400), (60, 200))]

# Springs, dampers, stops
SpringRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (3, 250), (8, 100))]
SpringLength = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 800), (50, 500))]
WireDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (3, 30), (8, 18))]
CoilDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (30, 300), (50, 180))]
CoilTurns = Annotated[Measured, QuantityField(Kind.RATIO, (1, 30), (3, 15))]
HelperRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (0.2, 250), (1, 80))]
HelperLength = Annotated[Measured, QuantityField(Kind.LENGTH, (2, 400), (5, 150))]
DeadTurns = Annotated[Measured, QuantityField(Kind.RATIO, (0, 6), (0, 3))]
Compression = Annotated[Measured, QuantityField(Kind.LENGTH, (1, 500), (10, 250))]
SpringForce = Annotated[Measured, QuantityField(Kind.FORCE, (10, 50000), (500, 8000))]
SpringCurve = Annotated[
    tuple[tuple[float, float], ...], TableField((("compression", Kind.LENGTH), ("force", Kind.FORCE)))
]
FreeCamber = Annotated[Measured, QuantityField(Kind.LENGTH, (-150, 500), (0, 250))]
ShackleLength = Annotated[Measured, QuantityField(Kind.LENGTH, (25, 300), (50, 160))]
PerchPosition = Annotated[Measured, QuantityField(Kind.LENGTH, (-200, 200), (-80, 80))]
DamperLength = Annotated[Measured, QuantityField(Kind.LENGTH, (50, 1200), (200, 700))]
GasForce = Annotated[Measured, QuantityField(Kind.FORCE, (0, 3000), (0, 400))]
GasVolume = Annotated[Measured, QuantityField(Kind.VOLUME, (1, 5000), (20, 400))]
GasExponent = Annotated[Measured, QuantityField(Kind.RATIO, (1, 1.7), (1, 1.4))]
DampingSlope = Annotated[Measured, QuantityField(Kind.DAMPING, (1, 200_000), (300, 10_000))]
FastSlope = Annotated[Measured, QuantityField(Kind.DAMPING, (0, 200_000), (50, 5000))]
KneeSpeed = Annotated[Measured, QuantityField(Kind.SPEED, (0.002, 5), (0.03, 0.4))]
KnownSpeed = Annotated[Measured, QuantityField(Kind.SPEED, (0.02, 10), (0.3, 3))]
StopRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (0.1, 100_000), (2, 300))]
SolidRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (10, 100_000), (200, 10_000))]
StopLength = Annotated[Measured, QuantityField(Kind.LENGTH, (0.5, 250), (3, 100))]
StopHardening = Annotated[Measured, QuantityField(Kind.RATIO, (0.05, 10), (0.3, 3))]
StopGap = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 300), (0, 50))]
StopHeight = Annotated[Measured, QuantityField(Kind.LENGTH, (1, 250), (20, 120))]
DamperCurve = Annotated[
    tuple[tuple[float, float, float], ...],
    TableField((("speed", Kind.SPEED), ("bump force", Kind.FORCE), ("rebound force", Kind.FORCE))),
]
ClickCurve = Annotated[
    tuple[tuple[float, float, float, float], ...],
    GroupedTableField(
        (("setting", Kind.RATIO), ("speed", Kind.SPEED), ("bump force", Kind.FORCE), ("rebound force", Kind.FORCE))
    ),
]
StopCurve = Annotated[
    tuple[tuple[float, float], ...], TableField((("compression", Kind.LENGTH), ("force", Kind.FORCE)), rising=True)
]

# Steering, shafts, clearances
RackTravel = Annotated[Measured, QuantityField(Kind.LENGTH, (10, 200), (50, 90))]
RackRatio = Annotated[Measured, QuantityField(Kind.LENGTH, (10, 200), (30, 70))]
JointAngle = Annotated[Measured, QuantityField(Kind.ANGLE, (5, 60), (18, 50))]
Plunge = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 100), (5, 40))]
StudAngle = Annotated[Measured, QuantityField(Kind.ANGLE, (0, 45), (0, 20))]
HoseLength = Annotated[Measured, QuantityField(Kind.LENGTH, (50, 1200), (150, 600))]
Clearance = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 400), (10, 250))]
PitmanTravel = Annotated[Measured, QuantityField(Kind.ANGLE, (5, 80), (25, 50))]
BoxRatio = Annotated[Measured, QuantityField(Kind.RATIO, (3, 60), (10, 26))]

# Bushes, and parts that twist
BushRate = Annotated[Measured, QuantityField(Kind.SPRING_RATE, (1, INFINITY), (50, 50000))]
BushTwist = Annotated[Measured, QuantityField(Kind.TORSIONAL_RATE, (0, INFINITY), (0, 200))]
BushCurve = Annotated[
    tuple[tuple[float, float], ...], TableField((("displacement", Kind.LENGTH), ("force", Kind.FORCE)), rising=True)
]
TubeRate = Annotated[Measured, QuantityField(Kind.TORSIONAL_RATE, (0.1, INFINITY))]
TorsionConstant = Annotated[Measured, QuantityField(Kind.TORSION_CONSTANT, (1, INFINITY))]

# Where a part meets the car
SplineDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (8, 80), (18, 45))]
BarOverall = Annotated[Measured, QuantityField(Kind.LENGTH, (150, 2600), (450, 1500))]
LeafWidth = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 150), (35, 80))]
LeafCount = Annotated[int, Field(ge=1, le=20)]
LeafThickness = Annotated[Measured, QuantityField(Kind.LENGTH, (2, 25), (4, 10))]
LeafLength = Annotated[Measured, QuantityField(Kind.LENGTH, (150, 2500), (350, 1600))]
SeatDiameter = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 300), (45, 180))]
BoltSize = Annotated[Measured, QuantityField(Kind.LENGTH, (2, 40), (6, 24))]
BoltCount = Annotated[int, Field(ge=1, le=12)]
StudCircle = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 300), (50, 180))]
BoltCircle = Annotated[Measured, QuantityField(Kind.LENGTH, (60, 250), (90, 140))]
HubSpigot = Annotated[Measured, QuantityField(Kind.LENGTH, (20, 200), (50, 80))]
DamperBody = Annotated[Measured, QuantityField(Kind.LENGTH, (15, 120), (32, 60))]
RodBore = Annotated[Measured, QuantityField(Kind.LENGTH, (3, 60), (8, 25))]
LinkSpan = Annotated[Measured, QuantityField(Kind.LENGTH, (150, 1800), (500, 1200))]
BushSize = Annotated[Measured, QuantityField(Kind.LENGTH, (5, 150), (10, 60))]
