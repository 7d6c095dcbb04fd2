"""The ledger for programs: what was promised, what was found, and the account of it."""

from __future__ import annotations

from typing import Any

from jounce.book.outcomes import promises_found
from jounce.ledger.account import corrections
from jounce.ledger.outcome import Outcome
from jounce.questions.ledger import ledger_tables
from jounce.web.api.operation import Call, Operation, OperationAnswer
from jounce.web.api.plain import TABLE, tables
from jounce.web.api.schemas import Schema, listed, named, number, objects, si_unit, text, whole

__all__ = ["OPERATIONS"]

_IN_UNIT = "as `unit` says"
_FOUND: Schema = objects(
    "A number that was promised and found.",
    {
        "job": text("id of its job"),
        "key": text("its name: axle.side.quantity, axle.quantity or a name"),
        "unit": text("SI unit of its numbers"),
        "day": text("when it was found, ISO 8601"),
        "layout": text("layout of its axle; empty for the whole car"),
        "promised": number("as promised", _IN_UNIT),
        "band": number("half width that was printed beside it, 9 in 10", _IN_UNIT),
        "widened": number("by what the ledger had multiplied that band", "1"),
        "found": number("as measured", _IN_UNIT),
        "plus_minus": number("± of the measurement, two standard deviations", _IN_UNIT),
        "apart": number("found less promised, in standard deviations of both", "1"),
        "inside": {"type": "boolean", "description": "whether both agree within both bands together"},
    },
)


def _told(one: Outcome) -> dict[str, Any]:
    promised = one.promised
    return {
        "job": one.job,
        "key": promised.key,
        "unit": si_unit(promised.kind),
        "day": one.when.isoformat(),
        "layout": promised.layout,
        "promised": promised.value,
        "band": promised.band,
        "widened": promised.widened,
        "found": one.found,
        "plus_minus": one.plus_minus,
        "apart": one.apart,
        "inside": one.inside,
    }


def _ledger(call: Call) -> Any:
    told = promises_found(call.ask.book)
    return {
        "promised": told.promised,
        "outcomes": [_told(one) for one in told.outcomes],
        "corrections": dict(corrections(told.outcomes)),
        **tables(ledger_tables(told.outcomes, told.promised)),
    }


OPERATIONS = (
    Operation(
        "GET",
        "/v1/ledger",
        "readLedger",
        "The book",
        "Read the ledger: promised, found, inside or not",
        _ledger,
        OperationAnswer(
            "the ledger",
            objects(
                "What became of the shop's promises.",
                {
                    "promised": whole("how many numbers were promised", 0),
                    "outcomes": listed(_FOUND, "those that were measured, the earliest first"),
                    "corrections": named("by quantity", number("by what its bands are to be multiplied", "1")),
                    "tables": listed(TABLE, "the account, by quantity, axle, layout and season"),
                },
            ),
        ),
        "Each number with a ± on a printed sheet of a job is a promise. Where the shop's bands learn from the ledger, "
        "bands of planned cars are multiplied by `corrections`, and what readings usually leave open is added where that "
        "is above 1, as `widened` of each number says; here as on pages and sheets.",
    ),
)
