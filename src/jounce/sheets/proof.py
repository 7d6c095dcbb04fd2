"""The sheet of proof for the customer: what was promised, what was found, inside or not, and what was corrected."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.conventions.certainty import MEANING, SHOWN_PER_TYPED
from jounce.ledger.account import account_of
from jounce.ledger.outcome import Outcome
from jounce.measuring.afterwards import ASKED
from jounce.questions.rounds import JobRound, off_words
from jounce.sheets.blocks import Block, Cautions, Fields, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import LAW, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.promise import promised_by
from jounce.sheets.shown import number, unit

__all__ = ["proof"]

_LABELS = {key: label for key, label, _ in ASKED}
_HONEST = (
    "Promised before the work, measured after it. A number is inside when the two differ by no more than both ± together; "
    "of promises that are right nine of ten are. One that lies outside is no fault by itself: what was done about it "
    "stands below."
)


def proof(out: Printout) -> list[Block]:
    """The sheet; with boxes where nothing was measured yet.

    Args:
        out: what is printed
    """
    found = out.afterwards.outcomes
    blocks: list[Block] = [
        Fields(("day", "odometer", "measured by"), (None, None, None)),
        Words(f"{_HONEST} {MEANING}."),
        Heading("Promised and found"),
    ]
    if found:
        blocks += [TableBlock(["", "promised", "found", "off by", ""], [_row(one, out.units) for one in found])]
        blocks += [Words(_counted(found))]
    else:
        blocks += [TableBlock(["", "promised", "found"], list(_to_fill(out)))]
    blocks.append(Heading("Corrected"))
    rounds = out.afterwards.rounds
    blocks.append(Points(list(_corrected(rounds, out.units))) if rounds else Points(["", ""], tick=True))
    return [*blocks, Cautions(cautions(out, (LAW, TOOL))), Signatures(("measured by", "received by", "date"))]


def _row(one: Outcome, units: str) -> list[str | None]:
    kind = one.promised.kind
    return [
        f"{_LABELS.get(one.promised.key, one.promised.key.replace('.', ' ').replace('_', ' '))}{unit(kind, units)}",
        number(one.promised.value, kind, units, band=one.promised.band),
        number(one.found, kind, units, band=one.plus_minus * SHOWN_PER_TYPED),
        number(one.difference, kind, units, sign=True),
        "inside" if one.inside else "OUTSIDE",
    ]


def _counted(found: tuple[Outcome, ...]) -> str:
    account = account_of(found)
    if account.inside == account.count:
        return f"All {account.count} numbers that were measured came out as promised."
    outside = account.count - account.inside
    return f"{account.inside} of {account.count} numbers came out as promised, {outside} did not."


def _to_fill(out: Printout) -> Iterator[list[str | None]]:
    """What is promised of heights, weights and angles, with boxes for what is found."""
    promised = {one.key: one for one in promised_by(out.case)}
    for key, label, kind in ASKED:
        if key in promised:
            one = promised[key]
            yield [f"{label}{unit(kind, out.units)}", number(one.value, kind, out.units, band=one.band), None]


def _corrected(rounds: tuple[JobRound, ...], units: str) -> Iterator[str]:
    """Each round in one line."""
    for count, one in enumerate(rounds, start=1):
        off = (*one.correction.off, *one.correction.off_angles)
        if one.correction.met:
            yield f"Round {count}: every height is where it was planned, as far as the tape tells."
        elif not one.steps:
            yield f"Round {count}: {_off(one, units)}; no tooth or turn brings it nearer. It was left so."
        elif one.made:
            yield f"Round {count}: {_off(one, units)}; turned: {'; '.join(step.said for step in one.steps)}."
        else:
            yield f"Round {count}: {_off(one, units)}; {len(off)} to be corrected, not done yet."


def _off(one: JobRound, units: str) -> str:
    correction = one.correction
    told = off_words(correction, units, (*correction.off, *correction.off_angles))
    return f"off: {told}{', inside what was promised' if correction.inside else ''}"
