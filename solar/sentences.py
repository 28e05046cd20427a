"""Sentences for people that remember what they were made from, so that they can be translated."""

from typing import Any


class Sentence(str):
    """A template with named places, filled in: the English text, as any other string.

    template: written out where the sentence is made, with places as of the % operator, such as
    `%(hours).1f`. values: what fills them; a value may be a sentence itself. Whoever shows the
    text in another language translates the template and fills it with the same values.
    """

    template: str
    values: dict[str, Any]

    def __new__(cls, template: str, **values: Any) -> "Sentence":
        made = super().__new__(cls, template % values)
        made.template, made.values = template, values
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, Any]]:
        return (self.template,), self.values


class SentenceError(ValueError):
    """What cannot be used; `sentence` says why, and so does its text."""

    def __init__(self, sentence: Sentence) -> None:
        super().__init__(sentence)
        self.sentence = sentence
