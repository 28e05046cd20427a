"""One conflict of a planned drill."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Conflict:
    """What speaks against a plan. `about` are its facts: where they change it is another one."""

    kind: str
    about: str
    sentence: str

    @property
    def key(self) -> str:
        return f"{self.kind}:{self.about}"[:200]

    def __str__(self) -> str:
        return self.sentence
