"""Numbers out of columns of text, with their ranges."""

import math
import re
from dataclasses import dataclass

import numpy as np

from solar.faults import Faults
from solar.sentences import Sentence

# Written out since float() also takes "1_0", "nan", "infinity" and digits of other scripts.
LARGEST = 1e9
"""No measurement here is larger; beyond it angles lose their decimals and squares overflow."""
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)


@dataclass(frozen=True)
class Range:
    """Lowest and highest value allowed; `above_lowest` leaves the lowest itself out."""

    lowest: float
    highest: float
    unit: Sentence
    above_lowest: bool = False

    def refuses(self, values: np.ndarray) -> np.ndarray:
        with np.errstate(invalid="ignore"):
            below = values <= self.lowest if self.above_lowest else values < self.lowest
            return below | (values > self.highest)

    def demand(self) -> Sentence:
        """What is asked of a value."""
        ends = {"lowest": self.lowest, "highest": self.highest, "unit": self.unit}
        if self.highest == math.inf:
            if self.above_lowest:
                return Sentence("it must be more than %(lowest)g %(unit)s.", **ends)
            return Sentence("it must be at least %(lowest)g %(unit)s.", **ends)
        if self.above_lowest:
            return Sentence(
                "it must be more than %(lowest)g and at most %(highest)g %(unit)s.", **ends
            )
        return Sentence("it must be from %(lowest)g to %(highest)g %(unit)s.", **ends)


def number_column(
    name: str,
    texts: list[str],
    allowed: Range,
    faults: Faults,
    *,
    blank: float,
    required: bool,
    used: np.ndarray | None,
) -> np.ndarray:
    """One column as floats: blanks become `blank`, what cannot be read NaN and a fault.

    used: rows for which the range counts (all where None); a finite number is needed anyhow.
    """
    if not any(texts):
        values = np.full(len(texts), blank)
    else:
        values = np.array([float(text) if _NUMBER.fullmatch(text) else math.nan for text in texts])
        for row in np.nonzero(~np.isfinite(values))[0]:
            if texts[row]:
                faults.put(row, name, Sentence("it is not a finite number."))
                values[row] = math.nan
            else:
                values[row] = blank
        for row in np.nonzero(np.abs(values) > LARGEST)[0]:
            faults.put(row, name, Sentence("it is too large to be a measurement."))
            values[row] = math.nan
    if required:
        for row, text in enumerate(texts):
            if not text:
                faults.put(row, name, Sentence("it is required."))
    outside = allowed.refuses(values)
    if used is not None:
        outside &= used
    for row in np.nonzero(outside)[0]:
        faults.put(row, name, allowed.demand())
        values[row] = math.nan
    return values
