"""What the optional library for pictures is asked for: tiles found, and a camera placed by points that are known.

Without the extra this file can be imported all the same; whoever asks for something is told what to install.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np
from numpy.typing import NDArray

from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import Array

_HAS_LIBRARY = find_spec("cv2") is not None and find_spec("PIL") is not None
if _HAS_LIBRARY:
    import cv2

__all__ = ["Bytes", "FoundTile", "Stand", "found_tiles", "needed", "planar_poses", "posed"]

Bytes = NDArray[np.uint8]

_SMALLEST = 0.006  # of the picture's longer side: a tile of 24 px on 4000
_SMALL_PICTURE = 2600  # px: one below it is looked at enlarged too
_WINDOWS = (5, 45, 10)  # px: neighbourhoods in which black and white are told apart, from, to and by
_SAME = 5.0  # px: centres closer together are one tile found twice
_FEWEST = 6  # corners that agree


@dataclass(frozen=True, slots=True)
class FoundTile:
    """A tile as it was found.

    Attributes:
        number: which of the family
        corners: upper left, upper right, lower right, lower left of the tag, shape (4, 2) [px]

    """

    number: int
    corners: Array


@dataclass(frozen=True, slots=True)
class Stand:
    """Where something stands before the camera: ``seen = turned @ point + shift``.

    Attributes:
        turned: rotation, shape (3, 3) [-]
        shift: shape (3,) [m]

    """

    turned: Array
    shift: Array

    def seen(self, points: Array) -> Array:
        """Points as the camera sees them, shape (..., 3) [m].

        Args:
            points: shape (..., 3) [m]
        """
        return np.asarray(points @ self.turned.T + self.shift)

    def undone(self, points: Array) -> Array:
        """Points given as the camera sees them, in the scene, shape (..., 3) [m].

        Args:
            points: shape (..., 3) [m]
        """
        return np.asarray((points - self.shift) @ self.turned)


def needed() -> None:
    """Say what to install where the extra is missing.

    Raises:
        Impossible: it is missing
    """
    if not _HAS_LIBRARY:
        raise Impossible(
            "Photographs need libraries that are not installed with the rest. Install them with "
            "`pip install 'jounce[camera]'`, then try again."
        )


def found_tiles(picture: Bytes) -> list[FoundTile]:
    """Tiles of the 36h11 family in a picture, with corners as the library gives them: a pixel or so off.

    A number that is found twice is left out: which of the two is meant cannot be told.

    Args:
        picture: grey, as the file has it (tone curve not undone), shape (height, width) [-]

    Returns:
        The tiles, by rising number; the centre of the first pixel is (0, 0)

    Raises:
        Impossible: the extra is not installed
    """
    needed()
    told: dict[int, list[Array]] = {}
    once = _found(picture)
    for number, corners in once:
        told.setdefault(number, []).append(corners)
    if max(picture.shape) < _SMALL_PICTURE:
        enlarged = np.asarray(cv2.resize(picture, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC), dtype=np.uint8)
        for number, corners in _found(enlarged):
            here = (corners - 0.5) / 2
            known = told.setdefault(number, [])
            if all(np.abs(here.mean(axis=0) - one.mean(axis=0)).max() > _SAME for one in known):
                known.append(here)
    return [FoundTile(number, where[0]) for number, where in sorted(told.items()) if len(where) == 1]


def _found(picture: Bytes) -> list[tuple[int, Array]]:
    wanted = cv2.aruco.DetectorParameters()
    wanted.minMarkerPerimeterRate = 4 * _SMALLEST
    wanted.adaptiveThreshWinSizeMin, wanted.adaptiveThreshWinSizeMax, wanted.adaptiveThreshWinSizeStep = _WINDOWS
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    corners, numbers, _ = cv2.aruco.ArucoDetector(family, wanted).detectMarkers(picture)
    if numbers is None:
        return []
    where = [np.asarray(one, dtype=np.float64).reshape(4, 2) for one in corners]
    return list(zip((int(number) for number in np.asarray(numbers).ravel()), where, strict=True))


def planar_poses(flat: Array, rays: Array) -> list[tuple[Stand, float]]:
    """The two poses that a flat square may have by one picture, the likelier one first.

    Args:
        flat: the square's corners in its own frame, from the upper left clockwise, shape (4, 3) [m]
        rays: where they are seen, at depth 1, shape (4, 2) [-]

    Returns:
        Stand and root mean square of what is left [-], both on rays

    Source: Collins and Bartoli, Infinitesimal Plane-Based Stand Estimation, International Journal of Computer Vision 109
        (2014) 252, from memory.
    """
    needed()
    told = cv2.solvePnPGeneric(flat, np.ascontiguousarray(rays), np.eye(3), np.zeros(5), flags=cv2.SOLVEPNP_IPPE_SQUARE)
    poses = []
    for turning, shift in zip(told[1], told[2], strict=True):
        pose = Stand(np.asarray(cv2.Rodrigues(turning)[0], dtype=np.float64), np.asarray(shift, np.float64).ravel())
        poses.append((pose, _left_over(pose, flat, rays)))
    return sorted((one for one in poses if np.isfinite(one[1])), key=lambda one: one[1])


def _left_over(pose: Stand, points: Array, rays: Array) -> float:
    seen = pose.seen(points)
    if not np.all(seen[:, 2] > 0):
        return float("inf")
    return float(np.sqrt(np.mean((seen[:, :2] / seen[:, 2:] - rays) ** 2)))


def posed(points: Array, rays: Array, focal: float, tiles: int, farthest: float = 6.0) -> Stand | None:
    """Where a camera stands that sees known points, wrong ones among them left out.

    Args:
        points: shape (points, 3) [m]
        rays: where they are seen, at depth 1, shape (points, 2) [-]
        focal: to tell how far off a point lies [px]
        tiles: of how many tiles the points are the corners [-]
        farthest: a corner farther off does not speak for a pose [px]

    Returns:
        The pose; None where none was found
    """
    needed()
    if tiles < 2:
        return None
    cv2.setRNGSeed(0)  # the same photographs give the same answer
    found, turning, shift, agree = cv2.solvePnPRansac(
        points,
        np.ascontiguousarray(rays),
        np.eye(3),
        np.zeros(5),
        iterationsCount=200,
        reprojectionError=farthest / focal,
        flags=cv2.SOLVEPNP_SQPNP,
    )
    if not found or agree is None:
        return None
    if np.asarray(agree).size < _FEWEST:
        return None
    return Stand(np.asarray(cv2.Rodrigues(turning)[0], np.float64), np.asarray(shift, np.float64).ravel())
