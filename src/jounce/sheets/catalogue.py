"""All kinds of sheets by their words, and how each is printed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import spring_kind
from jounce.case.beside import Beside
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.ledger.learned import learned_words
from jounce.questions.side_by_side import VariantPrices
from jounce.sheets.alignment import alignment
from jounce.sheets.answer_card import answer_card
from jounce.sheets.baseline import baseline
from jounce.sheets.blocks import Block, Signatures, StopBlock, Words
from jounce.sheets.corner_weights import corner_weights
from jounce.sheets.hand_over import hand_over
from jounce.sheets.job_card import indexing_card, job_card
from jounce.sheets.notice import Judged, not_known, refuse_without_reason, stop_lines, stop_title
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.sheets.printing import printed
from jounce.sheets.proof import proof
from jounce.sheets.quote_sheet import order_list, quote
from jounce.sheets.re_check import re_check
from jounce.sheets.set_up import set_up
from jounce.sheets.side_by_side import SIDE_BY_SIDE, editions, side_by_side
from jounce.sheets.travel_proof import travel_proof


@dataclass(frozen=True, slots=True)
class SheetKind:
    """A kind of sheet: its name in print, when it is used, what it is made of, and whether it needs a job or prices.

    ``lists_unknown`` says that its own blocks list what is not known, ``before`` that it tells of the car as it came,
    which no check of a plan speaks of, ``of_bars`` that it is for cars sprung by torsion bars alone.
    """

    name: str
    use: str
    blocks: Callable[[Printout], Sequence[Block]]
    of_job: bool = True
    priced: bool = False
    lists_unknown: bool = False
    before: bool = False
    of_bars: bool = False


SHEETS: dict[str, SheetKind] = {
    "answer": SheetKind(
        "Answer card", "At the counter: what can be said at once, and how sure it is.", answer_card, of_job=False
    ),
    "baseline": SheetKind(
        "Baseline: the car before",
        "Before anything is undone: the car as it came, signed twice.",
        baseline,
        of_job=False,
        before=True,
    ),
    "quote": SheetKind("Quote", "Before the work: what it costs and what it does, to be signed.", quote, priced=True),
    "order": SheetKind(
        "Order and machining list", "Once it is ordered: what to buy, measure and prepare.", order_list, priced=True
    ),
    "job-card": SheetKind(
        "Job card", "In the bay: parts, stored energy, settings in the order of work.", job_card, lists_unknown=True
    ),
    "index": SheetKind(
        "Indexing card of the torsion bars",
        "At the anchors: teeth, bolt and the heights that prove them.",
        indexing_card,
        of_bars=True,
    ),
    "set-up": SheetKind("Set-up sheet", "On the pads and at the track: all that describes how it is set.", set_up),
    "alignment": SheetKind(
        "Alignment", "On the aligner: before, target and after, and what each adjuster does.", alignment
    ),
    "weights": SheetKind(
        "Corner weights", "On the scales: what each corner is to carry, and how to get there.", corner_weights
    ),
    "travel": SheetKind(
        "Travel proof", "Without springs, wheel by wheel: what is met first, in bump and droop.", travel_proof
    ),
    "hand-over": SheetKind("Hand-over", "With the keys: what was done, its limits, what to watch.", hand_over),
    "proof": SheetKind("Proof", "When it is measured: promised, found, inside or not, what was corrected.", proof),
    "re-check": SheetKind("Re-check after settling", "When it has settled: then and now, side by side.", re_check),
}
"""The sheets in the order in which a job meets them."""


def sheets_of(document: CarDocument) -> dict[str, SheetKind]:
    """The sheets that a car may have, in their order.

    Args:
        document: the car
    """
    bars = any(spring_kind(document.axle(end)) == "torsion bar" for end in End)
    return {word: kind for word, kind in SHEETS.items() if bars or not kind.of_bars}


def kind_of(word: str) -> SheetKind:
    """A kind of sheet by its word.

    Args:
        word: as on the command line

    Raises:
        InputError: there is no such sheet
    """
    if word not in SHEETS:
        raise InputError("There is no such sheet", found=f'"{word}"', allowed=", ".join(SHEETS), todo="Choose one.")
    return SHEETS[word]


def sheet(word: str, out: Printout) -> bytes:
    """A sheet as PDF.

    Args:
        word: which kind
        out: what is printed

    Raises:
        InputError: there is no such sheet, the case lacks what it needs, or it fails what lives depend on
    """
    kind = kind_of(word)
    if kind.of_job and not kind.priced and out.case.job is None:
        raise InputError("This sheet is of a job", found="a car file", todo="Name a job file instead.")
    judged = [] if kind.before else out.judged(priced=kind.priced)
    refuse_without_reason(judged, out.look.despite)
    blocks = _with_notice(list(kind.blocks(out)), judged, out, out.case.widened, listed=kind.lists_unknown)
    return printed(kind.name, blocks, out)


def sheet_of_variants(found: Beside, look: Paperwork, prices: VariantPrices | None = None) -> bytes:
    """Jobs on one car beside each other, as PDF.

    Args:
        found: the jobs
        look: how the sheet looks
        prices: what they cost; None where nobody asked

    Raises:
        InputError: a job fails what lives depend on, and nobody said why it is printed all the same
    """
    judged = [Judged(one.checks, f"Job {one.letter}") for one in found.possible]
    refuse_without_reason(judged, look.despite)
    out = Printout(found.car, look if look.edition else replace(look, edition=editions(found)))
    blocks = _with_notice(side_by_side(found, out, prices), judged, out, found.widened, listed=False)
    return printed(SIDE_BY_SIDE, blocks, out)


def _with_notice(
    blocks: list[Block], judged: Sequence[Judged], out: Printout, widened: Mapping[str, float], *, listed: bool
) -> list[Block]:
    """The blocks under what fails, and what is not known over the line where it is signed, unless it is listed there."""
    title, open_questions = stop_title(judged), not_known(judged)
    learned = learned_words(widened)
    if learned:
        blocks.insert(len(blocks) - isinstance(blocks[-1], Signatures), Words(learned, small=True))
    if open_questions and not listed:
        blocks.insert(len(blocks) - isinstance(blocks[-1], Signatures), Words(open_questions, small=True))
    if not title:
        return blocks
    despite = out.look.despite
    return [StopBlock(title, stop_lines(judged, out.units), "" if despite is None else despite.sentence), *blocks]
