"""The pointer: where its tip is, by swinging it in one mark, and what the tip touches, each with its covariance.

Wherever the pointer stands, the photographs have placed the tiles of its board. The board is the same everywhere, close to
how it was printed; its tip is the one point of it that stays still while the board turns round it. Board, tip, mark and the
stands come from one least squares over all stands, weighted by the full covariance of the tiles.

Source: Yaniv, Which pivot calibration?, SPIE 9415 (2015) 941527, from memory: tip ``p`` and mark ``m`` of
    ``R_i p + t_i = m`` for every stand i in the mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross_matrix, rotation_matrix
from jounce.photographs.pivots import WIDEST, FoundPivot, widest_angle
from jounce.photographs.solving import Net
from jounce.photographs.survey import MARK, PointerStand, Survey
from jounce.photographs.tiles import KINDS, board_centres, printed, stand_of

__all__ = [
    "FEWEST_SWINGS",
    "LITTLE_SWING",
    "NO_SWING",
    "Pointer",
    "Touch",
    "pointed",
    "remarks_on_pointer",
    "touched_pivots",
]

FEWEST_SWINGS = 4
"""Stands in the mark that tell the tip."""
LITTLE_SWING, NO_SWING = np.radians(12.0), np.radians(4.0)
"""Turned by less, the tip is poorly known; by less still it is not told at all [rad]."""
_PAPER_TURNED = 0.01  # rad: of a tile on its board
_PAPER_OFF = np.array([0.2e-3, 0.2e-3, 0.4e-3])  # m: from where it is printed, along the board and out of it
_ANYWHERE = 1.0  # m: of the tip from the board
_FARTHER = 100.0  # m: of the mark
_ROUNDS = 12
_AT_REST = 1e-9  # m and rad
_SLIPPED = (
    25.0  # square of a mark's misfit in deviations, of three coordinates: no fifth of a millionth passes it by chance
)


@dataclass(frozen=True, slots=True)
class Touch:
    """What the tip touched in one stand.

    Attributes:
        stand: where the pointer stood
        place: of the tip, in the axes of the net, shape (3,) [m]
        slopes: how it moves with each tile's turning and centre, shape (3, tiles, 6) [m per rad, -]
        shared: how it moves with what else is unsure of the pointer, each one deviation, shape (3, unsure) [m]
        photos: places of the photographs that show it
        tiles: numbers of the tiles by which it was placed

    """

    stand: PointerStand
    place: Array
    slopes: Array
    shared: Array
    photos: tuple[int, ...]
    tiles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Pointer:
    """The pointer as its swings tell it.

    Attributes:
        tip: in the axes of its board, shape (3,) [m]
        swings: how many stands in the mark were used
        turned: how far it was turned in the direction in which it was turned least, root mean square [rad]
        touches: everything else that it touched
        slipped: stands in which the tip was not in its mark
        why_not: in words why it must not be used; empty for one that may

    """

    tip: Array
    swings: int
    turned: float
    touches: tuple[Touch, ...]
    slipped: tuple[PointerStand, ...]
    why_not: str


@dataclass(frozen=True)
class _Board:
    """What is known of the pointer in its stands: per seen tile its stand and its place on the board."""

    tiles: list[int]  # places in the net
    stand: list[int]
    corner: list[int]
    turned: Array
    centre: Array
    weight: Array
    nominal: Array
    marks: dict[int, float]  # stands in the mark, with how well the tip sits there

    @property
    def stands(self) -> int:
        return max(self.stand) + 1


@dataclass(frozen=True)
class _Stood:
    """Tip, mark, each tile on the board, and the board in each stand."""

    tip: Array
    mark: Array
    tile_turned: Array
    tile_off: Array
    turned: Array
    centre: Array

    def moved(self, step: Array) -> _Stood:
        own, boards = step[6:30].reshape(4, 6), step[30:].reshape(-1, 6)
        return _Stood(
            self.tip + step[:3],
            self.mark + step[3:6],
            self.tile_turned @ rotation_matrix(own[:, :3]),
            self.tile_off + own[:, 3:],
            rotation_matrix(boards[:, :3]) @ self.turned,
            self.centre + boards[:, 3:],
        )

    def touched(self, stand: int) -> Array:
        return np.asarray(self.turned[stand] @ self.tip + self.centre[stand])

    def touched_slopes(self, stand: int) -> Array:
        """How the tip's place moves with everything, shape (3, unknowns)."""
        told = np.zeros((3, 30 + 6 * len(self.centre)))
        told[:, :3] = self.turned[stand]
        here = 30 + 6 * stand
        told[:, here : here + 3] = -cross_matrix(self.turned[stand] @ self.tip)
        told[:, here + 3 : here + 6] = np.eye(3)
        return told


def pointed(net: Net, survey: Survey) -> Pointer | None:
    """Where the pointer's tip is and what it touched; None where no photograph shows it standing.

    Args:
        net: every tile where it is
        survey: what was stuck where
    """
    shown = [place for place, number in enumerate(net.numbers) if stand_of(number) is not None]
    stands = sorted({stand for place in shown if (stand := stand_of(net.numbers[place])) is not None})
    if not stands:
        return None
    given = [survey.pointer[stand] for stand in stands]
    board = _board(net, survey, shown, stands)
    slipped: list[int] = []
    while True:
        state, inverse, slopes, others = _fitted(board)
        worst = _slipped(board, state, inverse)
        if worst is None or len(board.marks) <= FEWEST_SWINGS:
            break
        slipped.append(worst)
        board = replace(board, marks={one: well for one, well in board.marks.items() if one != worst})
    by_tiles, by_others = inverse @ slopes.T @ board.weight, inverse @ others.T
    touches = []
    for place, one in enumerate(given):
        if one.point == MARK:
            continue
        along = state.touched_slopes(place)
        every = np.zeros((3, len(net.numbers), 6))
        every[:, board.tiles] = (along @ by_tiles).reshape(3, -1, 6)
        mine = [tile for tile, stand in zip(board.tiles, board.stand, strict=True) if stand == place]
        photos = tuple(sorted({int(photo) for photo in net.views.photo[np.isin(net.views.tile, mine)]}))
        touches.append(
            Touch(
                one, state.touched(place), every, along @ by_others, photos, tuple(net.numbers[tile] for tile in mine)
            )
        )
    turned = _turned(state.turned[list(board.marks)])
    found = Pointer(
        state.tip,
        len(board.marks),
        turned,
        tuple(touches),
        tuple(given[one] for one in slipped),
        "",
    )
    return replace(found, why_not=_why_not(found))


def _board(net: Net, survey: Survey, shown: Sequence[int], stands: Sequence[int]) -> _Board:
    numbers = [net.numbers[place] for place in shown]
    first = KINDS["pointer"].first
    size = len(net.numbers)
    rows = (6 * np.array(shown)[:, None] + np.arange(6)).ravel()
    together = net.covariance.reshape(6 * size, 6 * size)[np.ix_(rows, rows)]
    scale = 1 / np.sqrt(np.diag(together))
    weight = np.linalg.inv(together * scale[:, None] * scale) * scale[:, None] * scale
    placed = [stands.index(stand) for number in numbers if (stand := stand_of(number)) is not None]
    given = [survey.pointer[stand] for stand in stands]
    return _Board(
        list(shown),
        placed,
        [printed(number) - first for number in numbers],
        net.state.tile_turned[list(shown)],
        net.state.tile_centre[list(shown)],
        weight,
        board_centres(survey.side(first)) * np.array([*net.state.print_scale, 1.0]),
        {place: one.deviation for place, one in enumerate(given) if one.point == MARK},
    )


def _begun(board: _Board) -> _Stood:
    """Boards by their tiles one by one, and the tip by plain least squares over the stands in the mark."""
    turned, centre = [], []
    for stand in range(board.stands):
        mine = [place for place, one in enumerate(board.stand) if one == stand]
        u, _, v = np.linalg.svd(board.turned[mine].sum(axis=0))
        here = u @ np.diag([1.0, 1.0, np.linalg.det(u @ v)]) @ v
        turned.append(here)
        centre.append(np.mean([board.centre[one] - here @ board.nominal[board.corner[one]] for one in mine], axis=0))
    tip, mark = np.zeros(3), np.asarray(centre[0])
    if board.marks:
        rows = np.concatenate([np.hstack([turned[one], -np.eye(3)]) for one in board.marks])
        both = np.linalg.lstsq(rows, -np.concatenate([centre[one] for one in board.marks]), rcond=1e-3)[0]
        tip, mark = both[:3], both[3:]
    return _Stood(tip, mark, np.stack([np.eye(3)] * 4), np.zeros((4, 3)), np.stack(turned), np.stack(centre))


def _fitted(board: _Board) -> tuple[_Stood, Array, Array, Array]:
    """All by least squares: state, covariance of all unknowns, slopes by the tiles and by what else is known."""
    state = _begun(board)
    for _ in range(_ROUNDS):
        left, slopes = _of_tiles(board, state)
        other_left, others = _of_others(board, state)
        inverse = _inverse(slopes.T @ board.weight @ slopes + others.T @ others)
        step = inverse @ (slopes.T @ board.weight @ left + others.T @ other_left)
        state = state.moved(step)
        if np.abs(step).max() < _AT_REST:
            break
    return state, inverse, slopes, others


def _inverse(normal: Array) -> Array:
    scale = 1 / np.sqrt(np.diag(normal))
    return np.asarray(np.linalg.inv(normal * scale[:, None] * scale) * scale[:, None] * scale)


def _of_tiles(board: _Board, state: _Stood) -> tuple[Array, Array]:
    """How far each tile is from where the board has it: turning and centre; and the slopes of where the board has it."""
    count = len(board.tiles)
    left, slopes = np.zeros((count, 6)), np.zeros((count, 6, 30 + 6 * board.stands))
    for place, (stand, corner) in enumerate(zip(board.stand, board.corner, strict=True)):
        turned = state.turned[stand]
        arm = turned @ (board.nominal[corner] + state.tile_off[corner])
        left[place, :3] = _turning(board.turned[place] @ (turned @ state.tile_turned[corner]).T)
        left[place, 3:] = board.centre[place] - state.centre[stand] - arm
        own, here = 6 + 6 * corner, 30 + 6 * stand
        slopes[place, :3, own : own + 3] = turned @ state.tile_turned[corner]
        slopes[place, 3:, own + 3 : own + 6] = turned
        slopes[place, :3, here : here + 3] = np.eye(3)
        slopes[place, 3:, here : here + 3] = -cross_matrix(arm)
        slopes[place, 3:, here + 3 : here + 6] = np.eye(3)
    return left.ravel(), slopes.reshape(6 * count, -1)


def _turning(turned: Array) -> Array:
    """Rotation vector of a small turning, to the third order [rad]."""
    odd = np.array([turned[2, 1] - turned[1, 2], turned[0, 2] - turned[2, 0], turned[1, 0] - turned[0, 1]]) / 2
    return np.asarray(odd * (1 + odd @ odd / 6))


def _of_others(board: _Board, state: _Stood) -> tuple[Array, Array]:
    """What is known beside the tiles, each as one deviation: how the board is printed, and the tip in its mark."""
    unknowns = 30 + 6 * board.stands
    before = np.concatenate(
        [np.full(3, _ANYWHERE), np.full(3, _FARTHER), np.tile([*[_PAPER_TURNED] * 3, *_PAPER_OFF], 4)]
    )
    off = np.concatenate(
        [state.tip, np.zeros(3), *([*_turning(state.tile_turned[k]), *state.tile_off[k]] for k in range(4))]
    )
    rows, left = [np.eye(30, unknowns) / before[:, None]], [-off / before]
    for stand, well in board.marks.items():
        row = state.touched_slopes(stand)
        row[:, 3:6] = -np.eye(3)
        rows.append(row / well)
        left.append((state.mark - state.touched(stand)) / well)
    return np.concatenate(left), np.concatenate(rows)


def _slipped(board: _Board, state: _Stood, inverse: Array) -> int | None:
    """The stand whose tip was farthest from its mark, if that is no chance."""
    misfits = {}
    for stand, well in board.marks.items():
        row = state.touched_slopes(stand)
        row[:, 3:6] = -np.eye(3)
        off = state.touched(stand) - state.mark
        spread = well**2 * np.eye(3) - row @ inverse @ row.T
        misfits[stand] = float(off @ np.linalg.pinv(spread, rcond=1e-6, hermitian=True) @ off)
    worst = max(misfits, key=lambda one: misfits[one], default=None)
    return worst if worst is not None and misfits[worst] > _SLIPPED else None


def _turned(turned: Array) -> float:
    """How far a board was turned about the axis about which all but least happens [rad].

    A direction of the board moves by the sine of the angle it is turned by; that of the direction that moves least.
    """
    if len(turned) < 2:
        return 0.0
    moved = (turned - turned.mean(axis=0)).reshape(-1, 3)
    return float(np.arcsin(min(np.linalg.svd(moved, compute_uv=False)[-1] / np.sqrt(len(turned)), 1.0)))


def _why_not(found: Pointer) -> str:
    if found.swings < FEWEST_SWINGS:
        return (
            f"the pointer was photographed with its tip in the mark in {found.swings} stands: {FEWEST_SWINGS} are needed, "
            "six are good, each turned another way"
        )
    return _swing_more(found) if found.turned < NO_SWING else ""


def _swing_more(found: Pointer) -> str:
    return (
        f"too little swing: with its tip in the mark the pointer was turned by {np.degrees(found.turned):.0f}° in the "
        "direction in which it was turned least. Leave the tip in the mark, lean the stick by 30° to the left, to the "
        "right, towards you and away, turn it round itself too, and photograph each"
    )


def touched_pivots(net: Net, pointer: Pointer | None) -> tuple[FoundPivot, ...]:
    """Pivots that the pointer touched; the middle of all touches where there are several.

    Args:
        net: every tile where it is
        pointer: with what it touched; None where there is none
    """
    if pointer is None:
        return ()
    by_name: dict[str, list[Touch]] = {}
    for touch in pointer.touches:
        if touch.stand.is_pivot:
            by_name.setdefault(touch.stand.name, []).append(touch)
    return tuple(_middle(net, pointer, touches) for touches in by_name.values())


def _middle(net: Net, pointer: Pointer, touches: Sequence[Touch]) -> FoundPivot:
    count = len(touches)
    slopes = np.mean([one.slopes for one in touches], axis=0)
    shared = np.mean([one.shared for one in touches], axis=0)
    own = np.eye(3) * sum(one.stand.deviation**2 for one in touches) / count**2
    flat = slopes.reshape(3, -1)
    covariance = flat @ net.covariance.reshape(flat.shape[1], -1) @ flat.T + shared @ shared.T + own
    photos = np.array(sorted({photo for one in touches for photo in one.photos}))
    place = np.asarray(np.mean([one.place for one in touches], axis=0))
    found = FoundPivot(
        touches[0].stand, place, covariance, slopes, own, shared, len(photos), widest_angle(net, place, photos)
    )
    return replace(found, why_not=pointer.why_not or _doubt(net, pointer, found, touches))


def _doubt(net: Net, pointer: Pointer, found: FoundPivot, touches: Sequence[Touch]) -> str:
    said = next((net.moved[tile] for one in touches for tile in one.tiles if tile in net.moved), "")
    if said:
        return said
    if found.plus_minus > WIDEST and pointer.turned < LITTLE_SWING:
        return f"± {1e3 * found.plus_minus:.1f} mm: {_swing_more(pointer)}"
    if found.plus_minus > WIDEST:
        return f"± {1e3 * found.plus_minus:.1f} mm: set the pointer there again and take three photographs from nearer"
    return ""


def remarks_on_pointer(net: Net, survey: Survey, pointer: Pointer | None) -> tuple[str, ...]:
    """What a person has to know or do about the pointer, in words.

    Args:
        net: every tile where it is
        survey: what was stuck where
        pointer: as its swings tell it; None where there is none
    """
    placed = {stand_of(number) for number in net.numbers}
    told = [
        f"The pointer in {one.pictures} could not be placed: two of these must show the same tile of its board whole."
        for place, one in enumerate(survey.pointer)
        if place not in placed
    ]
    if pointer is None:
        return tuple(told)
    told += [
        f"The pointer in {one.pictures}: its tip was not in the mark. These are left out." for one in pointer.slipped
    ]
    if pointer.why_not:
        told.append(f"{pointer.why_not[0].upper()}{pointer.why_not[1:]}.")
    return tuple(told)
