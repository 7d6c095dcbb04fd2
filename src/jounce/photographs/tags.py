"""The tags of the open 36h11 family that the tiles bear, cell by cell.

Source: the family's published table of codes (Wang and Olson, AprilTag 2: Efficient and robust fiducial detection,
IROS 2016, from memory), as the general library has it; a test compares all of them with that.
"""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import BoolArray

__all__ = ["TAGS", "tag_cells"]

_INSIDE = 6
_CODES = (
    0x21A146BAB,
    0x92D18FE9B,
    0x7089014BB,
    0x193979E27,
    0x44153D3D7,
    0x35CD5B8CF,
    0xA10BA56A0,
    0x2B874A608,
    0xB57FB8D44,
    0x4E20B5A64,
    0x61D897F2C,
    0xAB3469FFC,
    0x594CA45C2,
    0xFA1C2D2E2,
    0x97C24B972,
    0x75928624A,
    0x1CAAFE99A,
    0x3236DDC16,
    0x884E527D6,
    0x5771A8C7E,
    0xF52925B81,
    0x2E59CC1A1,
    0x7FA58AB31,
    0xEB43384F9,
    0x3913D5345,
    0xD79B1A3B5,
    0x0DFBE768D,
    0x5CD7A031D,
    0xB9C8F7A4B,
    0x46987E06B,
    0x6E0C5D527,
    0x5BC567BB4,
    0x1E6302BC2,
    0x8AC7D046A,
    0xA65FE2326,
    0x5400EB616,
    0xF7A066836,
    0x2DD0AFDF6,
    0x3B9CB60B1,
    0xAD6A1CAF9,
    0x93B62EFB5,
    0xBB210D93D,
    0xDEE55094B,
    0xA0CD1479B,
    0x2A23ABB27,
    0x4F67F4B5F,
    0x58A815818,
    0x743427D64,
    0x1DEC40874,
    0x892AB3A02,
    0x38D5742EE,
    0x0C43567A1,
    0x5DB311CB1,
    0xC957CA1F9,
    0xA22457823,
    0x29ACE98F3,
    0xCCC52C528,
    0xDA8B3578C,
    0xD5B4B9E36,
    0xAC9CDD3CE,
    0xCBDAA8391,
    0x1986256B1,
    0xBAE6CC889,
    0xDF91B10E5,
    0xA1A9D5A75,
    0x2B651AA9D,
    0x4D5C2E19D,
    0x5B163736B,
    0xF753D60A8,
    0x5E84B37D2,
    0xFCE43A9F2,
    0xBB926D1A6,
    0xED8D236E5,
    0x6AF846F37,
    0xEA56A5138,
    0x5D497146C,
    0x470360ECA,
    0x8C4BCD67A,
    0x295F3901E,
    0xF6B577E97,
    0x520602F5A,
    0xB5119492E,
    0x48E299AB7,
    0xB79F5737A,
    0xA814C683E,
    0x2DA900583,
    0xD4ABA4797,
    0x982A0E65C,
    0xF480CCC15,
    0x0B20EA732,
    0xA9506710A,
    0x0486E2EE1,
    0xB0A972615,
    0xE73F3A257,
    0x17E205B98,
    0xEC9AB2B24,
    0xD9339E076,
    0xEB8874F99,
    0x9420A55CC,
    0xE364FF992,
    0x8A4CB8F0A,
    0xF72AEE766,
    0x73CC6B569,
    0xC99CA6A59,
)
TAGS = len(_CODES)
"""How many tags there are tiles of."""


def tag_cells(number: int) -> BoolArray:
    """Which cells of a tag are white, its black border with it, upper row first, shape (8, 8).

    Args:
        number: of the tag

    >>> tag_cells(0)[1].astype(int)
    array([0, 0, 0, 1, 0, 0, 0, 0])
    """
    bits = [(_CODES[number] >> place) & 1 == 1 for place in reversed(range(_INSIDE**2))]
    cells = np.zeros((_INSIDE + 2, _INSIDE + 2), dtype=bool)
    cells[1:-1, 1:-1] = np.array(bits).reshape(_INSIDE, _INSIDE)
    return cells
