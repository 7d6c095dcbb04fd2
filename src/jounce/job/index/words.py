"""What is said of a bar's index, the same on screen and on paper."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jounce.conventions.units import Kind, show
from jounce.job.index.hanging import read_at
from jounce.job.index.plan import BarIndex
from jounce.job.remark import AnswerRemark, AnswerRemarkKind

INDEX_REMARKS = (
    "Unload the bar before undoing anything: it holds stored energy.",
    "Without an adjusting bolt it is unloaded only as the maker's manual says.",
    "Mark both ends before anything is drawn out; left and right bars are not exchanged.",
    "Teeth count from the old marks only if a new bar's two ends are cut at the same angle to each other as the old one's.",
    "If they are not, set the hanging height and take the nearest tooth.",
    "Friction, and bushes tightened at another height, are not in these heights: roll and bounce the car, then measure.",
)


def index_sentences(one: BarIndex, units: str) -> Iterator[str]:
    """What a bar's index rests on, sentence by sentence.

    Args:
        one: the index of one side
        units: unit set to show
    """
    yield (
        f"As found {_length(one.found_height, units)}, wanted {_length(one.wanted_height, units)}: "
        f"{math.degrees(one.chosen.wanted):+.2f}° of turn."
    )
    setting = f"{setting_of(one)}. {loaded_height(one, units)}"
    yield AnswerRemark(setting, AnswerRemarkKind.CHOSEN) if one.chosen.splined else setting
    if one.hanging is not None:
        yield f"Before loading, arm free: {hanging_height(one, units)}."
    if one.pressed:
        yield AnswerRemark(
            f"The car then stands {_length(one.pressed, units)} into its bump rubber: rubber and bar carry it together, "
            "and it has no bump travel left on its spring. Do not set it like this: a shorter damper or rubber comes "
            "first.",
            AnswerRemarkKind.REFUSED,
        )
    yield why_new_marks(one)
    steps = [f"smallest step of both ends together {_length(one.step, units)}"] if one.step is not None else []
    steps += [f"one turn of the bolt {_length(one.bolt_step, units)}"] if one.bolt_step is not None else []
    if steps:
        yield f"Height there: {', '.join(steps)}."
    limit = "unknown" if one.stress_limit is None else show(one.stress_limit, Kind.STRESS, units)
    yield f"Stress the bar may see: {limit} ({one.stress_limit_source})."
    shares = [f"{name} {show(share, Kind.SHARE)}" for name, share in one.shares.items()]
    if len(shares) > 1:
        yield f"Of the twist: {', '.join(shares)}."


def setting_of(one: BarIndex) -> str:
    """Teeth and bolt that were chosen."""
    index = one.chosen
    if not index.splined:
        return f"Spline counts unknown: mark out {math.degrees(index.wanted):+.2f}°"
    bolt = f", bolt {index.bolt_turns:+.2f} turns" if one.bolt_step is not None else ""
    return (
        f"Chosen: {index.arm_teeth:+d} teeth at the arm, {index.anchor_teeth:+d} at the anchor{bolt} "
        f"({math.degrees(index.reached):+.2f}°)"
    )


def loaded_height(one: BarIndex, units: str) -> str:
    """Where the car stands with the chosen index, with its band, which holds nine of ten."""
    band = f" ± {_length(one.height_band, units)} (9 in 10)" if one.height_band else ""
    return f"The car then stands at {_length(one.expected_height, units)}{band} on {show(one.load, Kind.FORCE, units)}."


def hanging_height(one: BarIndex, units: str) -> str:
    """Height of the arm's point before the bar is loaded."""
    if one.hanging is None:
        return "unknown: the arm has no point to measure by"
    where = "above" if one.hanging > 0 else "below"
    band = f" ± {_length(one.hanging_band, units)} (9 in 10)" if one.hanging_band else ""
    return (
        f"{read_at(one.hanging_point)} {_length(abs(one.hanging), units)}{band} {where} the line through the arm's "
        "two inner pivots, straight across from it, the body level from side to side"
    )


def which_way(one: BarIndex) -> str:
    """What + is at either end, seen from where."""
    if one.way is None:
        return "+ winds the bar up and lifts the car."
    return (
        f"+ is {one.way.winds_up} seen {one.way.seen}, the arm on its bar or the bar with its arm in the anchor: it winds "
        f"up and lifts the car; − is {one.way.lets_down}."
    )


def why_new_marks(one: BarIndex) -> str:
    """Why the old marks do or do not serve."""
    found, wanted, same = (math.degrees(turn) for turn in (one.twist_found, one.twist_wanted, one.turn_same_height))
    text = f"Wind-up under load: {found:.2f}° as found, {wanted:.2f}° at the wanted height"
    if one.same_bar:
        return f"{text}. It is the old bar: teeth are counted from its marks."
    if abs(same) < math.degrees(_MARKS_SERVE):
        return f"{text}."
    less = "less" if same < 0 else "more"
    return (
        f"{text}. Only to stand as high as found this bar needs {same:+.2f}°: it winds up {less} under the load than the "
        "old one, so the old marks do not serve."
    )


_MARKS_SERVE = math.radians(0.25)  # less than half a tooth of any spline pair in use


def _length(value: float, units: str) -> str:
    return show(value, Kind.LENGTH, units)
