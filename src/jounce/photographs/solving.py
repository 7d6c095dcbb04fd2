"""From what every photograph shows to every tile's place with its covariance, wrong photographs and moved tiles named."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.conventions.errors import Impossible, InputError
from jounce.numerics.arrays import Array, BoolArray
from jounce.numerics.rotations import cross_matrix
from jounce.photographs.adjustment import Adjusted, Beforehand, adjusted, length_of
from jounce.photographs.net import GLOBAL, PER_PHOTO, PER_TILE, NetState, Ruler, Views
from jounce.photographs.seen import SeenPhoto
from jounce.photographs.starting import Start, placed_again, started
from jounce.photographs.survey import Survey
from jounce.photographs.tiles import called, in_stand, kind_of, printed

__all__ = ["Net", "fitting_share", "netted", "usual_focal"]

_FEWEST_PHOTOS = 3
_FEWEST_TILES = 4
_DIAGONAL_ON_FILM = 43.2666  # mm, of a picture of 36 by 24 mm
_USUAL_LENS = 26.0  # mm as on film, where nothing is told
_TOLD, _NOT_TOLD = 0.1, 0.35  # share of the focal length, one standard deviation
_SAME_LENS = 0.5  # mm as on film
_SAME_FORM = 0.002  # share: sizes of one lens keep width to height, cropped ones do not
_LEARNINGS = 3
_STEADIEST = (0.01, 1e-4, 0.1, 0.1, 0.05, 0.05, 0.01e-3, 0.01e-3, 0.02e-3)
"""A photograph's spread [px], focal share, centre [px], shear [px] and a tile's paper [m] are taken for no steadier."""
_OFF = 5.0  # of the noise: a view farther off is wrong
_LEAST_OFF = 0.6  # px
_BAD_PHOTO, _BAD_TILE = 0.5, 0.2  # share of the views
_REFUTED = 2.5  # deviations of printer and known length together, by which a sheet is smaller or larger than promised
_UNFIT = 0.015  # share: a known length that is so far off the others was mistyped, or lies between other tiles


@dataclass(frozen=True, slots=True)
class Net:
    """Every tile where it is.

    Attributes:
        names: of the photographs that were used
        numbers: of the tiles that were placed
        state: camera, photographs and tiles, by these places
        views: what was seen and used
        adjusted: how they fit
        covariance: of each tile's turning and centre, control tiles held together, shape (tiles, 6, tiles, 6)
            [rad, m]
        metric: whether a known length tells the scale
        left_out: photographs that were not used, with the reason
        moved: tiles that do not lie where they lay, or do not fit, with a sentence each
        focal_share: how well the focal length is known, one standard deviation [-]
        off_lengths: known lengths, by their tiles, that fit the others in no way and were not used, with a sentence each

    """

    names: tuple[str, ...]
    numbers: tuple[int, ...]
    state: NetState
    views: Views
    adjusted: Adjusted
    covariance: Array
    metric: bool
    left_out: dict[str, str]
    moved: dict[int, str]
    focal_share: float
    off_lengths: Mapping[tuple[int, int], str] = field(default_factory=dict)

    def place(self, number: int) -> int:
        """Place of a tile among the tiles.

        Args:
            number: of the tile
        """
        return self.numbers.index(number)


def netted(photos: Sequence[SeenPhoto], survey: Survey, told: Callable[[str], None] | None = None) -> Net:
    """Place every tile.

    Args:
        photos: what the photographs show
        survey: what was stuck where
        told: is told what is being done; may raise to stop

    Raises:
        Impossible: too few photographs or tiles, or they do not hang together
        NotConverged: the adjustment did not come to rest
    """
    say = told or (lambda _: None)
    left_out: dict[str, str] = {}
    used = _of_one_lens(standing(photos, survey), left_out)
    used = _with_enough(used, left_out)
    numbers = _shared(used)
    if len(used) < _FEWEST_PHOTOS or len(numbers) < _FEWEST_TILES:
        raise Impossible(
            f"{len(used)} photographs share {len(numbers)} tiles; at least {_FEWEST_PHOTOS} that share {_FEWEST_TILES} are "
            "needed, twenty are good. Walk round and take more, each with at least four tiles of the one before."
        )
    focal, share = usual_focal(used[0])
    known = Beforehand((focal, share * focal))
    views = _views(used, numbers, survey)
    width, height = views.size
    middle = np.array([focal, (width - 1) / 2, (height - 1) / 2, 0, 0, 0, 0, 0])
    start = started(views, middle, lambda: say("placing the photographs"))
    views, start, used, numbers = _only_placed(views, start, used, numbers, left_out)
    rulers = _rulers(survey, numbers)
    step = lambda number: say(f"adjusting, step {number + 1}")  # noqa: E731  # a short word for what is told
    first = adjusted(views, start.state, known, (), step, roughly=True)
    share, wrong = fitting_share([one.length / length_of(first.state, one) for one in rulers])
    off_lengths = dict(_off_length(rulers[place], numbers, share, first.state) for place in wrong)
    survey = replace(survey, rulers=tuple(one for one in survey.rulers if one.tiles not in off_lengths))
    rulers = _rulers(survey, numbers)
    known = _printed_so(known, share, rulers)
    again = placed_again(views, replace(start, state=first.state.stretched(share)))
    whole = adjusted(views, again.state, known, rulers, step)
    good, moved = _judged(views, whole, used, numbers, left_out)
    if not good.all():
        good = _hanging_together(views, good, used, left_out)
        keep = np.array([one.name not in left_out for one in used])
        if keep.sum() < _FEWEST_PHOTOS:
            raise Impossible("Most photographs do not fit together: the car or the tiles moved. Take them all again.")
        views, start, used, numbers = _narrowed(
            views.kept(good), replace(start, state=whole.state), used, numbers, keep
        )
        rulers = _rulers(survey, numbers)
        whole = adjusted(views, start.state, known, rulers, step)
    for _ in range(_LEARNINGS):
        say("learning how flat the paper is and how steady the lens")
        known = learned(known, whole, _inverse(whole, numbers))
        whole = adjusted(views, whole.state, known, rulers, step)
    say("working out how sure it is")
    covariance, focal_share = _covariance(whole, numbers)
    return Net(
        tuple(one.name for one in used),
        tuple(numbers),
        whole.state,
        views,
        whole,
        covariance,
        bool(rulers),
        left_out,
        moved,
        focal_share,
        off_lengths,
    )


def fitting_share(shares: Sequence[float]) -> tuple[float, list[int]]:
    """By how much all must be stretched that known lengths fit, and which of these fit the others in no way.

    Args:
        shares: each length over what it is as the sheets should have been printed [-]

    Returns:
        The share [-], 1 where there is no length; places of the lengths that must not be used

    >>> fitting_share([1.001, 1.2, 1.002])
    (1.002, [1])
    """
    if not shares:
        return 1.0, []
    few = len(shares) < 3
    middle = min(shares, key=lambda one: abs(one - 1)) if few else np.median(shares)  # of two, as the sheets promise
    return float(middle), [place for place, one in enumerate(shares) if abs(one / middle - 1) > _UNFIT]


def _printed_so(known: Beforehand, share: float, rulers: Sequence[Ruler]) -> Beforehand:
    """The same, without the printer's promise where known lengths speak clearly against it: it would pull at them."""
    if not rulers:
        return known
    doubt = float(np.hypot(known.print_scale, min(one.deviation / one.length for one in rulers)))
    return replace(known, print_scale=abs(share - 1)) if abs(share - 1) > _REFUTED * doubt else known


def _off_length(one: Ruler, numbers: Sequence[int], share: float, state: NetState) -> tuple[tuple[int, int], str]:
    a, b = (numbers[tile] for tile in one.tiles)
    return (a, b), (
        f"The known length between tiles {a} and {b} is {1e3 * abs(one.length - share * length_of(state, one)):.0f} mm off "
        "the other known lengths and was not used. Look whether these are the tiles, and measure it again."
    )


def standing(photos: Sequence[SeenPhoto], survey: Survey) -> list[SeenPhoto]:
    """The photographs with the pointer's tiles as tiles of their own in each stand, and none where it is being moved.

    Args:
        photos: what the photographs show
        survey: what was stuck where
    """
    stands = {photo: stand for stand, one in enumerate(survey.pointer) for photo in one.photos}
    told = []
    for photo in photos:
        stand = stands.get(photo.name)
        numbers = [
            number if kind_or_none(number) != "pointer" else None if stand is None else in_stand(number, stand)
            for number in photo.numbers
        ]
        kept = [place for place, number in enumerate(numbers) if number is not None]
        told.append(
            replace(photo, numbers=tuple(one for one in numbers if one is not None), corners=photo.corners[kept])
        )
    return told


def _of_one_lens(photos: Sequence[SeenPhoto], left_out: dict[str, str]) -> list[SeenPhoto]:
    """The photographs that were taken with the lens of most, all in the size of most."""
    if not photos:
        return []

    def alike(one: SeenPhoto, other: SeenPhoto) -> bool:
        told = one.as_on_film is not None and other.as_on_film is not None
        same_lens = not told or abs((one.as_on_film or 0) - (other.as_on_film or 0)) < _SAME_LENS
        across, up = other.size[0] / one.size[0], other.size[1] / one.size[1]
        return same_lens and (one.size == other.size or (told and abs(across / up - 1) < _SAME_FORM))

    groups = [[other for other in photos if alike(one, other)] for one in photos]
    most = max(groups, key=len)
    sizes = [one.size for one in most]
    size = max(sizes, key=sizes.count)
    usual = next(one for one in most if one.size == size)
    names = {one.name for one in most}
    for one in photos:
        if one.name not in names:
            left_out[one.name] = (
                f"taken with another lens, zoom or form than most ({_lens_of(one)}, most {_lens_of(usual)}): take it again "
                "with the same, uncropped"
            )
    return [resized(one, size) for one in most]


def resized(photo: SeenPhoto, size: tuple[int, int]) -> SeenPhoto:
    """A photograph by the same lens that was kept larger or smaller, as it would be in a size of the same form.

    Args:
        photo: what it shows
        size: width and height of the sensor that it is brought to [px]
    """
    if photo.size == size:
        return photo
    scale = np.array(size) / photo.size
    return replace(photo, corners=(photo.corners + 0.5) * scale - 0.5, size=size, blur=photo.blur * float(scale.mean()))


def _lens_of(photo: SeenPhoto) -> str:
    lens = "" if photo.as_on_film is None else f", {photo.as_on_film:.0f} mm"
    return f"{photo.size[0]} x {photo.size[1]}{lens}"


def _with_enough(photos: Sequence[SeenPhoto], left_out: dict[str, str]) -> list[SeenPhoto]:
    enough = []
    for one in photos:
        if sum(kind_or_none(number) is not None for number in one.numbers) >= 2:
            enough.append(one)
        else:
            left_out[one.name] = "fewer than two tiles found in it: take it again, standing still and near enough"
    return enough


def kind_or_none(number: int) -> str | None:
    """Kind of a tile; None for a tag that is none of ours.

    Args:
        number: of the tile
    """
    try:
        return kind_of(printed(number))
    except InputError:
        return None


def _shared(photos: Sequence[SeenPhoto]) -> list[int]:
    """Tiles of ours that two photographs or more show whole."""
    every = [
        number
        for one in photos
        for number, corners in zip(one.numbers, one.corners, strict=True)
        if kind_or_none(number) is not None and np.isfinite(corners).all()
    ]
    return sorted({number for number in every if every.count(number) >= 2})


def usual_focal(photo: SeenPhoto) -> tuple[float, float]:
    """Focal length to begin with, and how far it may be off, one standard deviation [px, -].

    Args:
        photo: what the photograph shows
    """
    diagonal = float(np.hypot(*photo.size))
    if photo.as_on_film is None:
        return _USUAL_LENS * diagonal / _DIAGONAL_ON_FILM, _NOT_TOLD
    return photo.as_on_film * diagonal / _DIAGONAL_ON_FILM, _TOLD


def _views(photos: Sequence[SeenPhoto], numbers: Sequence[int], survey: Survey) -> Views:
    rows = [
        (place, numbers.index(number), corners)
        for place, one in enumerate(photos)
        for number, corners in zip(one.numbers, one.corners, strict=True)
        if number in numbers
    ]
    return Views(
        np.array([row[0] for row in rows], dtype=np.intp),
        np.array([row[1] for row in rows], dtype=np.intp),
        np.stack([row[2] for row in rows]),
        np.array([survey.side(number) for number in numbers]),
        photos[0].size,
    )


def _rulers(survey: Survey, numbers: Sequence[int]) -> list[Ruler]:
    return [
        Ruler((numbers.index(one.tiles[0]), numbers.index(one.tiles[1])), one.length, one.deviation)
        for one in survey.rulers
        if one.tiles[0] in numbers and one.tiles[1] in numbers
    ]


def _only_placed(
    views: Views, start: Start, photos: list[SeenPhoto], numbers: list[int], left_out: dict[str, str]
) -> tuple[Views, Start, list[SeenPhoto], list[int]]:
    for one, placed in zip(photos, start.photos, strict=True):
        if not placed:
            left_out[one.name] = (
                "shares too few tiles with the others: take one more between it and them, with at least four tiles of each"
            )
    if start.photos.sum() < _FEWEST_PHOTOS:
        raise Impossible(
            "The photographs do not hang together: too few tiles are seen in several of them. Walk round in small steps, "
            "each photograph with at least four tiles of the one before."
        )
    good = start.photos[views.photo] & start.tiles[views.tile]
    return _narrowed(views.kept(good), start, photos, numbers, start.photos)


def _narrowed(
    views: Views, start: Start, photos: list[SeenPhoto], numbers: list[int], keep: BoolArray
) -> tuple[Views, Start, list[SeenPhoto], list[int]]:
    """The same with some of the photographs, and the tiles that two of these still show."""
    views = views.kept(keep[views.photo])
    often = np.bincount(views.tile, minlength=len(numbers)) >= 2
    views = views.kept(often[views.tile])
    state = start.state
    new_photo, new_tile = np.cumsum(keep) - 1, np.cumsum(often) - 1
    narrowed = replace(views, photo=new_photo[views.photo], tile=new_tile[views.tile], sides=views.sides[often])
    smaller = replace(
        state,
        turned=state.turned[keep],
        shift=state.shift[keep],
        own=state.own[keep],
        tile_turned=state.tile_turned[often],
        tile_centre=state.tile_centre[often],
        deviation=state.deviation[often],
    )
    return (
        narrowed,
        Start(smaller, np.ones(int(keep.sum()), dtype=bool), np.ones(int(often.sum()), dtype=bool)),
        [one for one, kept in zip(photos, keep, strict=True) if kept],
        [one for one, kept in zip(numbers, often, strict=True) if kept],
    )


def _judged(
    views: Views, found: Adjusted, photos: Sequence[SeenPhoto], numbers: Sequence[int], left_out: dict[str, str]
) -> tuple[BoolArray, dict[int, str]]:
    """Which views are good; photographs and tiles that do not fit are named."""
    limit = max(_OFF * found.noise, _LEAST_OFF)
    off = np.nanmedian(found.off, axis=1)
    bad = off > limit
    per_tile = np.bincount(views.tile, minlength=len(numbers))
    bad_tile = np.bincount(views.tile, bad, len(numbers)) / np.maximum(per_tile, 1)
    suspect = bad_tile > _BAD_PHOTO
    moved: dict[int, str] = {}
    good = ~bad
    for place, one in enumerate(photos):
        mine = (views.photo == place) & ~suspect[views.tile]
        if mine.sum() >= 2 and bad[mine].mean() >= _BAD_PHOTO:
            left_out[one.name] = (
                "does not fit the others: the telephone or the car moved while it was taken, or it was another lens or "
                "zoom. Take it again"
            )
            good &= views.photo != place
    sound = np.array([one.name not in left_out for one in photos])[views.photo]
    for place, number in enumerate(numbers):
        mine = (views.tile == place) & sound
        if bad[mine].sum() >= 2 and bad[mine].mean() >= _BAD_TILE:
            where = [photos[photo].name for photo in views.photo[mine & bad]]
            moved[number] = (
                f"{called(number)} does not fit in {', '.join(where[:4])}{' and others' if len(where) > 4 else ''}: it was "
                "moved, is bent, or there are two of that number. Stick it anew and take the photographs again."
            )
    return good, moved


def _hanging_together(
    views: Views, good: BoolArray, photos: Sequence[SeenPhoto], left_out: dict[str, str]
) -> BoolArray:
    """Which views are good; photographs that share fewer than two good tiles with the others are left out too."""
    while True:
        often = np.bincount(views.tile, good, len(views.sides)) >= 2
        counts = np.bincount(views.photo, good & often[views.tile], len(photos))
        lost = [place for place, one in enumerate(photos) if counts[place] < 2 and one.name not in left_out]
        if not lost:
            return good
        for place in lost:
            left_out[photos[place].name] = "shares too few tiles that fit with the others: take it again"
        good = good & ~np.isin(views.photo, lost)


def _inverse(found: Adjusted, numbers: Sequence[int]) -> Array:
    """Covariance of all unknowns, the control tiles held together, shape (unknowns, unknowns).

    Where all stands in the room is not told by photographs: six conditions on the control tiles' centres take its place
    (Triggs et al., Bundle adjustment - a modern synthesis, LNCS 1883 (2000), section 9, from memory).
    """
    state = found.state
    count, photos = state.unknowns, GLOBAL + PER_PHOTO * len(state.shift)
    control = [place for place, number in enumerate(numbers) if kind_or_none(number) == "control"]
    if len(control) < 3:
        control = list(range(len(numbers)))
    middle = state.tile_centre[control].mean(axis=0)
    held = np.zeros((count, 6))
    for place in control:
        rows = slice(photos + PER_TILE * place + 3, photos + PER_TILE * place + 6)
        held[rows, :3] = np.eye(3)
        held[rows, 3:] = -cross_matrix(state.tile_centre[place] - middle)
    scale = 1 / np.sqrt(np.diag(found.normal))
    even = found.normal * scale[:, None] * scale
    held = held * scale[:, None]
    held = held / np.linalg.norm(held, axis=0)
    whole = np.block([[even, held], [held.T, np.zeros((6, 6))]])
    return np.asarray(np.linalg.inv(whole)[:count, :count] * scale[:, None] * scale)


def learned(known: Beforehand, found: Adjusted, inverse: Array) -> Beforehand:
    """What is known before, its deviations replaced by those that the photographs themselves show.

    ``s² = mean of (value² + its variance)`` over all photographs or tiles: one step of expectation and maximisation.

    Args:
        known: before
        found: the adjustment with it
        inverse: covariance of all unknowns, shape (unknowns, unknowns)

    Source: Dempster, Laird and Rubin, Journal of the Royal Statistical Society B 39 (1977) 1, from memory.
    """
    state = found.state
    photos = GLOBAL + PER_PHOTO * len(state.shift)
    variance = np.diag(inverse)
    own = np.mean(state.own**2 + variance[GLOBAL:photos].reshape(-1, PER_PHOTO)[:, 6:], axis=0)
    paper = np.mean(state.deviation**2 + variance[photos:].reshape(-1, PER_TILE)[:, 6:].reshape(-1, 4, 3), axis=(0, 1))
    spread, focal, centre, shear = own[0], own[1], (own[2] + own[3]) / 2, (own[4] + own[5]) / 2
    flat = (paper[0] + paper[1]) / 2
    told = np.sqrt([spread, focal, centre, centre, shear, shear, flat, flat, paper[2]])
    told = np.maximum(told, _STEADIEST)
    return replace(known, own=tuple(told[:6].tolist()), paper=tuple(told[6:].tolist()))


def _covariance(found: Adjusted, numbers: Sequence[int]) -> tuple[Array, float]:
    """Covariance of the tiles, and of the focal length as a share of it."""
    state = found.state
    photos = GLOBAL + PER_PHOTO * len(state.shift)
    inverse = _inverse(found, numbers)
    tiles = (photos + PER_TILE * np.arange(len(numbers))[:, None] + np.arange(6)).ravel()
    kept = inverse[np.ix_(tiles, tiles)].reshape(len(numbers), 6, len(numbers), 6)
    return kept, float(np.sqrt(max(inverse[0, 0], 0)) / state.lens[0])
