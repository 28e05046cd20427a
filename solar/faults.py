"""Sentences about rows that cannot be scored: the first one found for a row stands."""

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from solar.sentences import Sentence

LONGEST_QUOTED = 200
"""Characters of a value that a sentence repeats; a cell can hold a thousand times."""


class Faults:
    """One sentence a row at most, naming the column and the value that stands in it.

    sentence, column: '' where the row is sound, else a `Sentence` of which the value `what` is
    the reason alone. sound: True until a row is refused.
    """

    def __init__(self, texts: Mapping[str, Sequence[str]]) -> None:
        self._texts = texts
        rows = len(texts["method"])
        self.sentence = np.full(rows, "", dtype=object)
        self.column = np.full(rows, "", dtype=object)
        self.sound = np.ones(rows, dtype=bool)

    def put(self, row: int, column: str, what: Sentence) -> None:
        """Refuse one row, unless it is refused already. `what` follows the column and value."""
        if not self.sound[row]:
            return
        value = self._texts[column][row]
        if len(value) > LONGEST_QUOTED:
            value = f"{value[:LONGEST_QUOTED]}…"
        if value:
            sentence = Sentence(
                "%(column)s “%(value)s”: %(what)s", column=column, value=value, what=what
            )
        else:
            sentence = Sentence("%(column)s is blank: %(what)s", column=column, what=what)
        self.sentence[row], self.column[row] = sentence, column
        self.sound[row] = False

    def put_where(
        self, bad: np.ndarray, column: str, what: Callable[[int], Sentence], rows: np.ndarray
    ) -> None:
        """Refuse rows[i] for every true bad[i] with what(i)."""
        for index in np.nonzero(bad)[0]:
            self.put(int(rows[index]), column, what(int(index)))

    def time_column(self, row: int) -> str:
        """The column that says when a row was checked: its own time or else the method's."""
        return next((name for name in ("check_time", "times") if self._texts[name][row]), "date")
