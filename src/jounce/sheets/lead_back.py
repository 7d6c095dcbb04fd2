"""The code in the corner of a sheet: read by a phone it leads back to the job, and to this version of the sheet."""

from __future__ import annotations

import io
from dataclasses import dataclass

import segno

__all__ = ["LeadBack"]


@dataclass(frozen=True, slots=True)
class LeadBack:
    """Where a sheet leads back to.

    Attributes:
        address: of the workbench, for other machines of the house
        code: letters and digits that stand beneath it too; they tell nothing by themselves

    """

    address: str
    code: str

    @property
    def link(self) -> str:
        """What a phone reads: in capitals, for which the symbol has a set of its own and stays coarse."""
        return f"{self.address}/j/{self.code}".upper()

    @property
    def picture(self) -> str:
        """The symbol as SVG, dark on light, with its quiet zone.

        Source: ISO/IEC 18004, by a library; a quarter of it may be soiled (level Q).
        """
        into = io.BytesIO()
        segno.make(self.link, error="q", micro=False, boost_error=False).save(
            into, kind="svg", border=4, unit=None, light="white", xmldecl=False
        )
        return into.getvalue().decode()
