"""QR codes (ISO/IEC 18004) as the outline of their dark squares, for a page's SVG."""

from dataclasses import dataclass

import numpy as np
from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel, QRUtil

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
    code = _Code(None, QRErrorCorrectLevel.M)
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


class _Code(QRCode):
    """Chooses its mask on arrays: reportlab looks at every square, in each of eight masks."""

    def getBestMaskPattern(self) -> int:  # noqa: N802 - reportlab's name
        self.makeImpl(True, 0)
        columns, rows = np.array(self.dataPosIterator()).T
        masks = [QRUtil.getMask(number)(rows, columns) for number in range(8)]
        plain = np.array(self.modules, dtype=bool)
        plain[rows, columns] ^= masks[0]
        found = []
        for mask in masks:
            masked = plain.copy()
            masked[rows, columns] ^= mask
            found.append(penalty(masked))
        return int(np.argmin(found))


def penalty(dark: np.ndarray) -> int:
    """How hard a code is to read, by which its mask is chosen; `dark` is square, of bool.

    ISO/IEC 18004:2015, 7.8.3.1 (from memory): 3 points for five squares alike in a row or column
    and one for each more; 3 for each block of 2 by 2 alike; 40 for each likeness of a finder
    pattern with four light squares before or behind it; 10 for each whole 5 % that the share of
    dark squares is away from one half.
    """
    points = 0
    for lines in (dark, dark.T):
        # A column of neither kind ends each line.
        ended = np.pad(lines.astype(np.uint8), ((0, 0), (0, 1)), constant_values=2).ravel()
        lengths = np.diff(np.flatnonzero(np.diff(ended, prepend=2)), append=ended.size)
        kinds = ended[np.flatnonzero(np.diff(ended, prepend=2))]
        long = lengths[(lengths >= 5) & (kinds < 2)]
        points += int((long - 2).sum())
        told = ended.tobytes()
        points += 40 * (told.count(_LIGHT + _FINDER) + told.count(_FINDER + _LIGHT))
    blocks = dark[1:, 1:].astype(int) + dark[:-1, 1:] + dark[1:, :-1] + dark[:-1, :-1]
    points += 3 * int(((blocks == 0) | (blocks == 4)).sum())
    return points + 10 * int(abs(dark.mean() - 0.5) * 20.0)


_FINDER, _LIGHT = bytes([1, 0, 1, 1, 1, 0, 1]), bytes(4)
