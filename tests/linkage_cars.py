"""The demo car whose rear axle is told as a linkage, and the same car with other axles in its place."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from pathlib import Path

from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car

PAGE = Path(__file__).parents[1] / "docs" / "linkage-layout.md"

COMMON = """
[{end}.alignment]
camber = -0.7
toe = 0.1

[{end}.wheel]
loaded_radius = {radius}
tyre_rate = 170

[{end}.spring]
rate = 30
"""
"""What an axle needs besides its lists."""


@cache
def demo_text() -> str:
    """The demo file."""
    return files("jounce.demo").joinpath("sorrel-21.toml").read_text("utf-8")


@cache
def page_axles() -> tuple[str, ...]:
    """The axles that the manual page tells, as text."""
    return tuple(re.findall(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL))


def page_axle(word: str) -> str:
    """The axle of the page in which a word stands."""
    (found,) = (text for text in page_axles() if word in text)
    return found


def completed(axle: str) -> str:
    """An axle's lists with all else that it needs."""
    end = "front" if "[front]" in axle else "rear"
    height = re.search(r"wheel_centre = \[[^,]+, [^,]+, ([0-9.]+)\]", axle)
    return axle + COMMON.format(end=end, radius=height[1])


def car_text(axle: str) -> str:
    """The demo file with an axle in place of its own."""
    general, _, axles = demo_text().partition("[front]\n")
    front, _, rear = axles.partition("# Each half-axle")
    front, rear = "[front]\n" + front, "#" + rear
    return general + (axle + rear if "[front]" in axle else front + axle)


def car_with(axle: str) -> CarDocument:
    """The demo car with an axle in place of its own."""
    return parse_car(car_text(axle), "car.toml")


WISHBONES = "upper_arm"
A_FRAME = "top_arm"
PILLARS = """
[front]
layout = "linkage"

[front.pivots]
wheel_centre = [0, 690, 280]
pillar_low = [6, 560, 190]
pillar_high = [-24, 520, 470]
tie_rod_inner = [-130, 250, 262]
tie_rod_outer = [-122, 540, 250]
spring_upper = [-23, 520, 480]
spring_lower = [0, 555, 240]
damper_upper = [40, 500, 560]
damper_lower = [30, 570, 250]

[front.bodies]
slider = { slides_on = "body", line = ["pillar_low", "pillar_high"] }
knuckle = { turns_on = "slider", about = ["pillar_high", "pillar_low"], carries = "wheel" }

[front.joints]
tie_rod = { rod = ["tie_rod_inner on rack", "tie_rod_outer on knuckle"] }

[front.arrangement]
spring = ["spring_upper on body", "spring_lower on slider"]
damper = ["damper_upper on body", "damper_lower on slider"]
steering_axis = ["pillar_low on slider", "pillar_high on slider"]
"""
"""A knuckle that slides up and down a pillar and is steered about it."""

LEADING = """
[rear]
layout = "linkage"

[rear.pivots]
wheel_centre = [-2380, 690, 275]
arm_inner = [-2760, 330, 300]
arm_outer = [-2790, 610, 310]
arm_end = [-2400, 600, 262]
lower_rod_inner = [-2395, 210, 250]
lower_rod_outer = [-2390, 610, 230]
upper_rod_inner = [-2380, 260, 420]
upper_rod_outer = [-2385, 600, 400]
stay_rear = [-2700, 560, 420]
stay_front = [-2385, 640, 360]
low_stay_rear = [-2700, 575, 240]
low_stay_front = [-2380, 645, 215]
damper_upper = [-2450, 560, 640]
damper_lower = [-2430, 590, 240]

[rear.bodies]
arm = { turns_on = "body", about = ["arm_inner", "arm_outer"], tip = "arm_end" }
hub = { carries = "wheel" }

[rear.joints]
arm_end = { point = "arm_end on hub", along = [0.1, 1, 0.05], of = "arm" }
lower_rod = { rod = ["lower_rod_inner on body", "lower_rod_outer on hub"] }
upper_rod = { rod = ["upper_rod_inner on body", "upper_rod_outer on hub"] }
stay = { rod = ["stay_rear on arm", "stay_front on hub"] }
low_stay = { rod = ["low_stay_rear on arm", "low_stay_front on hub"] }

[rear.arrangement]
damper = ["damper_upper on body", "damper_lower on hub"]
torsion_bar = "arm"
"""
"""Hubs on leading arms, each held sideways by two rods and kept from turning by two stays on its arm."""

TURNING_TUBE = """
[rear]
layout = "linkage"

[rear.pivots]
wheel_centre = [-2380, 685, 270]
arm_bush = [-1960, 520, 300]
tube_end = [-2380, 600, 270]
spring_upper = [-2370, 500, 520]
spring_lower = [-2375, 500, 290]
damper_upper = [-2450, 560, 640]
damper_lower = [-2430, 590, 240]

[rear.points]
body_end = [-2400, 430, 330]
axle_end = [-2400, -420, 290]

[rear.bodies]
tube = { shared = true, carries = "left wheel" }
carrier = { shared = true, turns_on = "tube", about = ["left.tube_end", "right.tube_end"], carries = "right wheel" }

[rear.joints]
left_bush = { shared = true, point = "left.arm_bush on tube", along = [0, 1, 0], of = "body" }
right_bush = { shared = true, point = "right.arm_bush on carrier", along = [0, 1, 0], of = "body" }
panhard = { shared = true, rod = ["body_end on body", "axle_end on tube"] }

[rear.arrangement]
spring = ["spring_upper on body", "spring_lower on tube"]
damper = ["damper_upper on body", "damper_lower on tube"]
"""
"""A beam whose right-hand arm turns about the tube: two bodies that the axle has once, and each carries a wheel."""

MEAN_HELD = """
[rear]
layout = "linkage"

[rear.pivots]
wheel_centre = [-2380, 685, 270]
rod_front = [-1900, 480, 260]
rod_rear = [-2370, 490, 220]
leaf = [-2380, 500, 240]
spring_upper = [-2370, 500, 520]
spring_lower = [-2375, 500, 290]
damper_upper = [-2450, 560, 640]
damper_lower = [-2430, 590, 240]

[rear.points]
top_front = [-1950, 90, 420]
top_rear = [-2360, 60, 400]

[rear.bodies]
beam = { shared = true, carries = "both wheels" }

[rear.joints]
rod = { rod = ["rod_front on body", "rod_rear on beam"] }
top_rod = { shared = true, rod = ["top_front on body", "top_rear on beam"] }
sideways = { middle = "leaf on beam" }

[rear.arrangement]
spring = ["spring_upper on body", "spring_lower on beam"]
damper = ["damper_upper on body", "damper_lower on beam"]
"""
"""A beam on three rods, held sideways by both sides together."""
