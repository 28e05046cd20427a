"""Why a result cannot be stored, as said to the assessor."""


class Refused(ValueError):  # noqa: N818 - named for what it says to the assessor
    """A result that cannot be stored. `field` is the column or part it is about, '' for all."""

    def __init__(self, field: str, sentence: str, *, position: int = 0) -> None:
        super().__init__(sentence)
        self.field = field
        self.sentence = sentence
        self.position = position
