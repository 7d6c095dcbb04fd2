"""The parts of a car, each a section of its file."""

from __future__ import annotations

from jounce.car.parts.alignment import Alignment
from jounce.car.parts.anti_roll_bar import AntiRollBar
from jounce.car.parts.beam import Beam, CrossMember, PanhardRod
from jounce.car.parts.bush import Bush
from jounce.car.parts.damper import Damper, DamperClicks, DamperKnee
from jounce.car.parts.room import Clearance, DriveShaft
from jounce.car.parts.shared import check_apart, check_bore
from jounce.car.parts.spring import LeafSpring, Perch, Spring
from jounce.car.parts.steering import Steering, SteeringBox
from jounce.car.parts.stop import BumpStopSection, DroopStop
from jounce.car.parts.torsion_bar import AdjustingBolt, InnerBar, TorsionBarSection
from jounce.car.parts.wheel import Wheel

__all__ = [
    "AdjustingBolt",
    "Alignment",
    "AntiRollBar",
    "Beam",
    "BumpStopSection",
    "Bush",
    "Clearance",
    "CrossMember",
    "Damper",
    "DamperClicks",
    "DamperKnee",
    "DriveShaft",
    "DroopStop",
    "InnerBar",
    "LeafSpring",
    "PanhardRod",
    "Perch",
    "Spring",
    "Steering",
    "SteeringBox",
    "TorsionBarSection",
    "Wheel",
    "check_apart",
    "check_bore",
]
