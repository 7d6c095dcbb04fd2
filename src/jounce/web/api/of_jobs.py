"""A job worked out: as found against as planned, what to set, whether it fits and lasts, what else moves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jounce.case.case import Case
from jounce.checks import Check, Verdict, check_values, worst
from jounce.conventions.errors import InputError, InputProblems, JounceError
from jounce.job.setting_bands import setting_widths
from jounce.job.settings import settings_values
from jounce.job.wording import cautions_of, settings_of
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.operation import JSON, Call, Operation, OperationAnswer
from jounce.web.api.plain import plain
from jounce.web.api.schemas import Schema, choice, listed, named, number, objects, or_null, si_unit, text
from jounce.web.case_cache import car_read, case_of
from jounce.web.shop_settings import held_case, rules_text

__all__ = ["CHECKS", "OPERATIONS", "VERDICT_AND_CHECKS", "WIDENED", "case_of_job", "told_checks", "told_checks_of"]

_IN_UNIT = "as `unit` says"
_VERDICTS = tuple(verdict.value for verdict in Verdict)
_ROWS: Schema = listed(
    objects(
        "One quantity; null where it does not exist.",
        {
            "key": text("its name: axle.side.quantity, axle.quantity or a name"),
            "label": text("its name for people"),
            "kind": text("what it measures"),
            "unit": text("SI unit of its numbers"),
            "found": or_null(number("as found", _IN_UNIT)),
            "planned": or_null(number("as planned", _IN_UNIT)),
            "difference": or_null(number("planned less found", _IN_UNIT)),
            "found_plus_minus": number("half width of its band, 9 in 10; 0 where no ± is stated", _IN_UNIT),
            "planned_plus_minus": number("half width of its band, 9 in 10; settings kept", _IN_UNIT),
        },
    )
)
_STOPS: Schema = named(
    "by axle",
    listed(
        objects(
            "A stop.",
            {
                "name": text("what stops"),
                "side": or_null(text("left or right; null for both")),
                "at": choice("at which end of the travel", "bump", "droop"),
                "travel": number("from where it stands, positive both ways", "m"),
                "hard": {"type": "boolean", "description": "metal on metal"},
            },
        )
    ),
)
CHECKS: Schema = listed(
    objects(
        "One question and its answer.",
        {
            "code": text("its name for programs"),
            "question": text("what is asked"),
            "verdict": choice("how it ends", *_VERDICTS),
            "critical": {"type": "boolean", "description": "a car that fails it is dangerous, whatever else it passes"},
            "sentence": text("the answer in words"),
            "kind": text("what value and limit measure"),
            "unit": text("their SI unit"),
            "value": or_null(number("what was found", _IN_UNIT)),
            "limit": or_null(number("what it is held against", _IN_UNIT)),
            "bound": text('"at least", "at most" or empty'),
            "margin": or_null(number("how far inside the limit, negative outside", _IN_UNIT)),
            "source": text("where the limit comes from"),
            "reason": text("why there is one"),
            "todo": text("what helps where it fails"),
        },
    )
)
WIDENED: Schema = named(
    "by what the shop's ledger has multiplied the bands of planned cars, by quantity, where the shop wants that; "
    "empty for none",
    number("factor", "1"),
)
_COMPARISON = {
    "job": text("its name"),
    "revision": text("its revision"),
    "rows": _ROWS,
    "stops": named("by state", _STOPS),
    "widened": WIDENED,
}
_WHEEL_SETTINGS = objects(
    "What puts a wheel right.",
    {
        "tie_rod": or_null(number("the rod that sets the toe gets longer by; null where no toe is wanted", "m")),
        "plate_inward": number("top plate or upper joint is put inward from as found by", "m"),
        "plate_rearward": number("the same to the rear", "m"),
        "inward_needed": number("how far inward it would have to be, whatever its ends and steps", "m"),
        "rearward_needed": number("the same to the rear", "m"),
        "shims": named("how much shims under the hub make camber and toe grow", number("of this angle", "rad")),
        "shims_needed": named("how much they would have to", number("of this angle", "rad")),
        "tie_rod_needed": or_null(number("the rod would have to get longer by, whatever its thread", "m")),
        "bolt_turn": or_null(
            number("eccentric bolts of the upper joint, turned from their middle, inward positive; null without", "rad")
        ),
        "links": named(
            "links whose lengths set camber or caster, by the angle",
            objects(
                "A link.",
                {
                    "name": text("which"),
                    "longer": number("is made longer by, negative for shorter", "m"),
                    "needed": number("would have to be made longer by, whatever its thread", "m"),
                    "turns": or_null(number("turns of its thread; null where none was told")),
                    "length": or_null(number("between its joints, of a new link; null where that as found stays", "m")),
                },
            ),
        ),
    },
)
_AXLE_SETTINGS = objects(
    "What is set on an axle; empty or null for what it has not.",
    {
        "torsion_bars": named("index of both bars, lengths in m, angles in rad", {"type": ["object"]}),
        "seats": named("seats of both coils or leaves [m], turns from the lowest", {"type": ["object"]}),
        "rod": {"type": ["object", "null"], "description": "lengths of the rod that holds it sideways [m], turns"},
        "wheels": named("what puts each wheel right, by side; empty where nothing on the axle does", _WHEEL_SETTINGS),
        "watt_bracket": {
            "type": ["object", "null"],
            "description": "places across of the bracket of a Watt linkage's rocker [m]",
        },
        "trailing_links": {
            "type": ["object", "null"],
            "description": "how much longer each side's trailing links are [m], turns, where the axle points [rad]",
        },
        "drop_links": named("lengths of drop links at which a bar is free, by bar [m]", {"type": ["object"]}),
        "joint_heights": or_null(
            objects(
                "Joints that spacers or the rack set elsewhere; null where they are as found.",
                {
                    "ball_joint": number("lower ball joints, set lower by", "m"),
                    "tie_rod": number("outer joints of the tie rods, set lower by", "m"),
                    "rack": number("both ends of the rack, set higher by", "m"),
                    "shim": or_null(number("thickness of one of the shims under the rack; null where not told", "m")),
                },
            )
        ),
        "bump_steer": or_null(
            objects(
                "What gives the bump steer wanted, mean of both wheels; null where none is wanted.",
                {
                    "axle": text("which axle"),
                    "part": text("what is set"),
                    "wanted": number("asked for", "rad/m"),
                    "reached": number("of the planned car", "rad/m"),
                    "needed": number("the rack higher, or outer joints lower, than found, as would be needed", "m"),
                    "set": number("the same as it is set", "m"),
                    "slope": number("change of bump steer for that height", "rad/m²"),
                    "step": number("thickness of shims or spacers; 0 where any height can be set", "m"),
                    "at_end": {"type": "boolean", "description": "the wish is unmet: an end, or nothing to set"},
                },
            )
        ),
        "left_alone": named("camber and toe of each wheel with them as they were [rad]", {"type": ["object"]}),
    },
)
_SETTINGS = {
    "steps": listed(text("a setting as a sentence, in metric units")),
    "front": _AXLE_SETTINGS,
    "rear": _AXLE_SETTINGS,
    "plus_minus": named(
        "half width of the band (9 in 10) of each setting",
        number("of this setting", "rad of bars; m of seats, rods and plates"),
    ),
    "cautions": listed(text("to be read before work")),
}
VERDICT_AND_CHECKS = {"worst": choice("the worst verdict", *_VERDICTS), "checks": CHECKS, "local_rules": CHECKS}
_KNOCK_ON = {
    "knock_on": listed(
        objects(
            "What a change moves besides.",
            {
                "cause": text("the change"),
                "moved": text("what it moves"),
                "kind": text("what the value measures"),
                "unit": text("its SI unit"),
                "value": or_null(number("by how much; null where it is not known", _IN_UNIT)),
                "todo": text("what to do about it"),
            },
        )
    )
}


def case_of_job(call: Call) -> Case:
    """The job of a request, held to the shop's own rules.

    Args:
        call: the request

    Raises:
        InputError: the job belongs to no car
    """
    job = entry_of(call, "job")
    if job.belongs_to is None:
        raise InputError("This job belongs to no car", found=job.name, todo="Save it with the id of its car.")
    return held_case(call.ask, job, call.ask.book.entry(job.belongs_to))


def _comparison(case: Case) -> Any:
    return {
        "job": case.change_list.job.name,
        "revision": str(case.change_list.job.revision),
        "rows": plain(
            [
                {
                    "key": row.key,
                    "label": row.label,
                    "kind": row.kind,
                    "unit": si_unit(row.kind),
                    "found": row.found,
                    "planned": row.planned,
                    "difference": row.difference,
                    "found_plus_minus": row.found_band,
                    "planned_plus_minus": row.planned_band,
                }
                for row in case.rows
            ]
        ),
        "stops": plain({"found": case.plan.found.stops, "planned": case.plan.planned.stops}),
        "widened": plain(case.widened),
    }


def _settings(case: Case) -> Any:
    plan = case.plan
    return {
        "steps": settings_of(plan, "metric", case.planned.bands),
        **{axle: plain(settings_values(settings)) for axle, settings in plan.settings.items()},
        "plus_minus": setting_widths(case.planned.bands),
        "cautions": list(cautions_of(plan)),
    }


def told_checks_of(case: Case) -> Any:
    """The worst verdict, every check and the shop's local rules as plain data.

    Args:
        case: the job on its car
    """
    return {
        "worst": worst(case.every_check).value,
        "checks": told_checks(case.checks),
        "local_rules": told_checks(case.rule_checks),
    }


def told_checks(checks: Sequence[Check]) -> Any:
    """Checks as plain data, each number with its unit.

    Args:
        checks: any
    """
    return plain([{**check_values(check), "kind": check.kind, "unit": si_unit(check.kind)} for check in checks])


def _knock_on(case: Case) -> Any:
    return {
        "knock_on": plain(
            [
                {
                    "cause": one.cause,
                    "moved": one.moved,
                    "kind": one.kind,
                    "unit": si_unit(one.kind),
                    "value": one.value,
                    "todo": one.todo,
                }
                for one in case.side_effects
            ]
        )
    }


def _work_out(call: Call) -> Any:
    """A job and a car that are in no book; what is wrong with each is told of both."""
    car, job = call.body["car"], call.body["job"]
    try:
        car_read(car)
    except JounceError as error:
        raise _placed(error, "body.car") from None
    try:
        case = case_of(job, car, rules_text(call.ask.book))
        return _comparison(case) | _settings(case) | told_checks_of(case) | _knock_on(case)
    except JounceError as error:
        raise _placed(error, "body.job") from None


def _placed(error: JounceError, place: str) -> JounceError:
    for one in error.problems if isinstance(error, InputProblems) else (error,):
        one.place = ", ".join(filter(None, (place, one.place)))
    return error


def _of_job(name: str, operation: str, title: str, run: Any, parts: dict[str, Schema], about: str) -> Operation:
    return Operation(
        "GET",
        f"/v1/jobs/{{entry}}/{name}",
        operation,
        "Jobs",
        title,
        run,
        OperationAnswer(about, objects(f"{title}.", parts)),
        parameters=(ENTRY_PATH,),
        problems=(404,),
    )


OPERATIONS = (
    _of_job(
        "comparison",
        "compareJob",
        "As found against as planned",
        lambda call: _comparison(case_of_job(call)),
        _COMPARISON,
        "every quantity, and where the travel ends",
    ),
    _of_job(
        "settings",
        "readSettings",
        "What to set",
        lambda call: _settings(case_of_job(call)),
        _SETTINGS,
        "in the order of work",
    ),
    _of_job(
        "checks",
        "checkJob",
        "Whether it fits and lasts",
        lambda call: told_checks_of(case_of_job(call)),
        VERDICT_AND_CHECKS,
        "every check, and the shop's local rules",
    ),
    _of_job(
        "knock-on",
        "readKnockOn",
        "What else moves",
        lambda call: _knock_on(case_of_job(call)),
        _KNOCK_ON,
        "by the change that moves it",
    ),
    Operation(
        "POST",
        "/v1/work-out",
        "workOut",
        "Jobs",
        "Work out a job that is in no book",
        _work_out,
        OperationAnswer(
            "all of it", objects("A job worked out.", _COMPARISON | _SETTINGS | VERDICT_AND_CHECKS | _KNOCK_ON)
        ),
        "Nothing is kept. Local rules are those of the book.",
        body={JSON: objects("The documents.", {"car": text("TOML of the car"), "job": text("TOML of the job")})},
    ),
)
