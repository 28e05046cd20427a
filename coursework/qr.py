"""QR codes (ISO/IEC 18004) as the outline of their dark squares, for a page's SVG."""

from dataclasses import dataclass

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

QUIET_ZONE = 4
"""Light squares that readers need around the code."""


@dataclass(frozen=True)
class Code:
    """`size` squares a side with the quiet zone, in which runs of dark squares lie.

    `runs` are column, row and length in squares, from the top left.
    """

    size: int
    runs: tuple[tuple[int, int, int], ...]

    @property
    def path(self) -> str:
        """SVG path data in squares; one rectangle a run: no hairlines between them on paper."""
        return "".join(f"M{x} {y}h{length}v1h-{length}z" for x, y, length in self.runs)


def qr_code(text: str) -> Code:
    """The smallest code that holds the text with error correction M."""
    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(text))
    code.make()
    count = code.getModuleCount()
    runs = []
    for row in range(count):
        column = 0
        while column < count:
            length = 0
            while column + length < count and code.isDark(row, column + length):
                length += 1
            if length:
                runs.append((column + QUIET_ZONE, row + QUIET_ZONE, length))
            column += length + 1
    return Code(size=count + 2 * QUIET_ZONE, runs=tuple(runs))
