"""What is wrong with an axle told as lists: its names, how its bodies hang together, whether it moves as an axle does."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from jounce.car.axles.linkage_mentions import Mention, mentions, pairs_apart
from jounce.car.file.quantity import MeasuredPoint, suggestion
from jounce.conventions.axes import SIDES, Side
from jounce.conventions.errors import InputError
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.builder import BODY
from jounce.layouts.custom_axle import (
    GIVEN_BODIES,
    RACK,
    RELAY_ROD,
    AxleSpec,
    Ball,
    InTheMiddle,
    OnLine,
    Rod,
    Turning,
    bodies_of,
)
from jounce.layouts.freedoms import WAYS_OF_AN_AXLE, Freedoms, freedoms
from jounce.layouts.needs import LEAST_DISTANCE

__all__ = ["check_freedoms", "check_hanging", "check_names", "check_places", "check_structure", "known_bushes"]

_TAKEN_BODIES = {*GIVEN_BODIES, "ground", "road", "rolled_road", "rack_bar", "pitman_arm", "idler_arm", "left", "right"}
_TAKEN_STARTS = ("roll_bar", "road_force")
_TAKEN_RESULTS = {
    *("travel", "camber", "toe", "steer", "road_cosine", "road_height", "caster", "kingpin_inclination"),
    *(f"{point}_{axis}" for point in ("wheel", "contact", "pitman_joint", "idler_joint") for axis in "xyz"),
    *("damper", "spring", "torsion_bar", "heave", "roll", "pitch", "level", "rack", "pitman", "relay_spin", "shift"),
    *("axle_steer", "inner_bar_twist", "wheel", "contact", "pitman_joint", "idler_joint"),
    *("main_spring", "bump_stop", "droop_stop", "gas_force", "tyre", "unsprung_weight", "centre_height"),
}
_COUNTS = "A free body has 6 ways to move, one that turns or slides 1; a ball takes 3, a point on a line 2, a rod 1."
_SHOWN = 5
"""Names shown of those that take part in something."""


def check_names(told: AxleSpec, points: Collection[str]) -> list[InputError]:
    """Names that are not known, not free, or given twice.

    Args:
        told: the lists
        points: points of a side that are given

    """
    twice = sorted({*points} & {*told.shared_points})
    problems = [
        InputError(f'"{name}" is a point of a side as well', todo="Rename one.", place=f"points.{name}")
        for name in twice
    ]
    entries = {f"bodies.{body.name}": body.name for body in told.bodies}
    entries |= {f"joints.{joint.name}": joint.name for joint in told.joints}
    problems += [
        InputError("This name is taken", found=f'"{name}"', todo="Choose another.", place=place)
        for place, name in entries.items()
        if name.startswith(_TAKEN_STARTS) or (place.startswith("bodies.") and name in _TAKEN_BODIES)
    ]
    problems += _name_clashes(told)
    for mention in dict.fromkeys(mentions(told)):
        known = _known(told, points, mention)
        if mention.word not in known:
            problems.append(_unknown(mention, known))
    return problems


def _name_clashes(told: AxleSpec) -> Iterator[InputError]:
    """Joints and bodies give names to results; no two may give the same."""
    owner = dict.fromkeys(_TAKEN_RESULTS, "the axle itself")
    for place, name, results in _results(told):
        if clash := next((result for result in results if result in owner), None):
            message = f'"{name}" would give a result the name "{clash}", as {owner[clash]} does'
            yield InputError(message, todo="Choose another name.", place=place)
        owner |= dict.fromkeys(results, f'"{name}"')


def _results(told: AxleSpec) -> Iterator[tuple[str, str, list[str]]]:
    """Place, name and names of results of every body and joint."""
    for body in told.bodies:
        results = [f"{body.name}_angle", f"{body.name}_slide"]
        if isinstance(body.moves, Turning):
            results += [f"{body.name}_front{end}" for end in ("", "_x", "_y", "_z")]
            results += [f"{body.name}_rear{end}" for end in ("", "_1", "_2")]
        yield f"bodies.{body.name}", body.name, results
    for joint in told.joints:
        ends = {Ball: ("", "_x", "_y", "_z"), OnLine: ("", "_fore", "_across")}.get(type(joint.how), ("",))
        yield f"joints.{joint.name}", joint.name, [f"{joint.name}{end}" for end in ends]


def _known(told: AxleSpec, points: Collection[str], mention: Mention) -> list[str]:
    """Names that a mention may use."""
    own = list(points) if mention.kind == "point" else [body.name for body in told.bodies if not body.shared]
    whole = list(told.shared_points)
    if mention.kind != "point":
        whole = [
            *(body.name for body in told.bodies if body.shared),
            *([BODY] if mention.kind == "hanger" else GIVEN_BODIES),
        ]
    return [*whole, *(f"{side}.{name}" for side in SIDES for name in own)] if mention.shared else [*whole, *own]


def _unknown(mention: Mention, known: list[str]) -> InputError:
    what, word = ("point" if mention.kind == "point" else "body"), mention.word
    todo = suggestion(word, known)
    if mention.shared and f"left.{word}" in known:
        todo = f'This is for the whole axle: say "left.{word}" or "right.{word}".'
    elif not mention.shared and word.partition(".")[0] in SIDES:
        todo = 'Only what is shared speaks of "left." and "right."; here say the name alone.'
    elif mention.kind == "hanger" and word in (RACK, RELAY_ROD):
        todo = "Nothing hangs on the steering gear."
    return InputError(f'"{word}" is no {what} here', todo=todo, place=mention.place)


def known_bushes(told: AxleSpec) -> list[str]:
    """Names of the joints that may be bushes: listed ones and both ends of every line that a body turns about."""
    hinges = [f"{b.name}_{end}" for b in told.bodies if isinstance(b.moves, Turning) for end in ("front", "rear")]
    return [*hinges, *(joint.name for joint in told.joints if isinstance(joint.how, Ball | Rod | OnLine))]


def check_structure(told: AxleSpec) -> list[InputError]:
    """Wheels without a carrier, joints of one body with itself, rings of bodies, bodies that nothing holds.

    Args:
        told: the lists, their names sound

    """
    problems = [*_carrier_problems(told), *_joint_problems(told)]
    hangs_on: dict[str, set[str]] = {}
    for one, other in _ties(told):
        hangs_on.setdefault(one, set()).add(other)
        hangs_on.setdefault(other, set()).add(one)
    held = _reached(BODY, hangs_on) | _reached(RACK, hangs_on) | _reached(RELAY_ROD, hangs_on)
    carriers = _carriers(told)
    for body in told.bodies:
        names = (body.name,) if body.shared else tuple(f"{side}.{body.name}" for side in SIDES)
        if any(name in _chain(name, carriers) for name in names):
            todo = "Let one of them turn or slide on the car's body."
            problems.append(InputError("This body turns on itself in the end", todo=todo, place=f"bodies.{body.name}"))
        elif loose := [name for name in names if name not in held]:
            message = (
                f"Nothing joins {_named(tuple(loose))} with the car's body, nor with anything that is joined with it"
            )
            todo = "Add the joint that is missing, or let it turn on a body."
            problems.append(InputError(message, todo=todo, place=f"bodies.{body.name}"))
    return problems


def _carrier_problems(told: AxleSpec) -> Iterator[InputError]:
    for side in SIDES:
        names = [body.name for body in told.bodies if side.value in body.carries]
        if len(names) != 1:
            found = " and ".join(f'"{name}"' for name in names) or "none"
            todo = 'Say carries = "wheel" of one body of a side, or carries = "both wheels" of a shared one.'
            yield InputError(f"The {side} wheel needs one body that carries it", found=found, todo=todo, place="bodies")


def _joint_problems(told: AxleSpec) -> Iterator[InputError]:
    for joint in told.joints:
        one, other = bodies_of(joint.how)
        if one == other:
            message = f'Both sides of this joint are on "{one}"'
            yield InputError(message, todo="Say which two bodies it joins.", place=f"joints.{joint.name}")
        if isinstance(joint.how, InTheMiddle) and joint.how.point.point in told.shared_points:
            todo = "Name a point of a side: the other side's is meant with it."
            yield InputError("This point belongs to the axle as a whole", todo=todo, place=f"joints.{joint.name}")


def _carriers(told: AxleSpec) -> dict[str, str]:
    """By full name, the body that each body turns or slides on."""
    shared = {body.name for body in told.bodies if body.shared}
    found = {}
    for body in told.bodies:
        if body.moves is None:
            continue
        if body.shared:
            found[body.name] = body.moves.on
        else:
            found |= {f"{side}.{body.name}": _full(body.moves.on, side, shared) for side in SIDES}
    return found


def _ties(told: AxleSpec) -> Iterator[tuple[str, str]]:
    """Pairs of bodies, by full name, that hang together."""
    yield from _carriers(told).items()
    shared = {body.name for body in told.bodies if body.shared}
    for joint in told.joints:
        one, other = bodies_of(joint.how)
        for side in SIDES:
            yield (one, other) if joint.shared else (_full(one, side, shared), _full(other, side, shared))


def _full(word: str, side: Side, shared: set[str]) -> str:
    return word if word in shared or word in GIVEN_BODIES else f"{side}.{word}"


def _chain(name: str, carriers: Mapping[str, str]) -> set[str]:
    """All bodies that a body turns or slides on, one after the other."""
    found: set[str] = set()
    while name in carriers and carriers[name] not in found:
        name = carriers[name]
        found.add(name)
    return found


def _reached(start: str, ties: Mapping[str, set[str]]) -> set[str]:
    found, waiting = {start}, [start]
    while waiting:
        new = ties.get(waiting.pop(), set()) - found
        found |= new
        waiting += new
    return found


def check_hanging(told: AxleSpec, spring: str, gear: Collection[str]) -> list[InputError]:
    """Parts of the file that have no place in the lists, and the other way round.

    Args:
        told: the lists, their names sound
        spring: section of the main spring that is given
        gear: sections of steering gear that are given

    """
    problems = []
    hanging = told.hanging
    turning = {body.name for body in told.bodies if isinstance(body.moves, Turning) and not body.shared}
    if spring == "spring" and hanging.spring is None:
        todo = 'Add spring = ["point on body", "point on body"].'
        problems.append(InputError("It is not said where the spring sits", todo=todo, place="arrangement"))
    if spring == "torsion_bar" and hanging.torsion_bar not in turning:
        allowed = " or ".join(f'"{name}"' for name in sorted(turning)) or "a body of a side that turns on another"
        message, found = (
            "The torsion bar needs a body that turns",
            f'"{hanging.torsion_bar}"' if hanging.torsion_bar else "none",
        )
        problems.append(InputError(message, found=found, allowed=allowed, place="arrangement.torsion_bar"))
    for key in ("damper", "spring"):
        ends = getattr(hanging, key)
        if ends is not None and ends[0].body == ends[1].body:
            problems.append(
                InputError("Both ends are on one body", todo="Say what each end is on.", place=f"arrangement.{key}")
            )
    words = {mention.word for mention in mentions(told) if mention.kind == "body"}
    for section, word, needed in (("steering", RACK, False), ("steering_box", RELAY_ROD, True)):
        if section in gear and word not in words:
            todo = f'Put the inner joints of the tie rods on it: "point on {word}".'
            problems.append(InputError(f'Nothing is on the "{word}"', todo=todo, place=section))
        if needed and word in words and section not in gear:
            problems.append(InputError(f'The "{word}" needs the section [{section}]', todo="Add it.", place="joints"))
    if {RACK, RELAY_ROD} <= words:
        problems.append(
            InputError("An axle is steered by a rack or by a box", found="both", todo="Choose one.", place="joints")
        )
    return problems


def check_places(
    told: AxleSpec, points: Mapping[tuple[Side, str], MeasuredPoint], shared: Mapping[str, MeasuredPoint]
) -> list[InputError]:
    """Ends of a part, or points of a line, that lie in one place.

    Args:
        told: the lists, their names sound
        points: points by side and name
        shared: points of the axle as a whole

    """
    problems: dict[str, InputError] = {}
    every = {**shared, **{f"{side}.{name}": point for (side, name), point in points.items()}}
    for pair in pairs_apart(told):
        for side in SIDES:
            one, other = (every[name] if name in every else every[f"{side}.{name}"] for name in pair.points)
            if one.distance(other) <= LEAST_DISTANCE:
                message = f'"{pair.points[0]}" and "{pair.points[1]}" are the same point'
                todo = "Measure the one that was copied."
                problems.setdefault(pair.place, InputError(message, todo=todo, place=pair.place))
    return list(problems.values())


def check_freedoms(linkage: AxleLinkage) -> list[InputError]:
    """Whether the two wheels' travels, and nothing else, move the axle.

    Args:
        linkage: the axle on the ground

    """
    found = freedoms(linkage)
    if found.sound:
        return []
    facts = [f"{_named(found.loose)} can still move with both wheels held"] if found.loose else []
    facts += [f"{_named(found.repeated)} hold what others hold already"] if found.repeated else []
    return [InputError(_message(found), found="; ".join(facts) or "nothing by name", todo=_COUNTS, place="joints")]


def _message(found: Freedoms) -> str:
    if found.ways == WAYS_OF_AN_AXLE:
        return "The joints are right in number, but as found they leave something loose and hold something twice"
    ways = "1 way" if found.ways == 1 else f"{found.ways} ways"
    return f"The joints leave {ways} to move, and an axle has {WAYS_OF_AN_AXLE} (heave and roll)"


def _named(names: tuple[str, ...]) -> str:
    """Names for a message, those of both sides once."""
    pairs = {
        name.partition(".")[2] for name in names if all(f"{side}.{name.partition('.')[2]}" in names for side in SIDES)
    }
    plain = list(dict.fromkeys(own if (own := name.partition(".")[2]) in pairs else name for name in names))
    shown = ", ".join(f'"{name}"' for name in plain[:_SHOWN])
    return shown if len(plain) <= _SHOWN else f"{shown} and {len(plain) - _SHOWN} more"
