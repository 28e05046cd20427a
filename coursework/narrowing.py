"""How a list says what it is narrowed to, and when the form for that stands open.

Drawing the form takes longer than drawing the list: it is there only when someone asks for it.
"""

from datetime import date
from functools import lru_cache

from django.forms import BaseForm, ModelChoiceField
from django.template.loader import render_to_string
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from coursework.forms.common import SearchForm
from coursework.wording import date_format

ASKED = "narrow"
"""In the address: `open` just now, by a link; `stays` as long as the form is sent again."""


class Narrowing:
    """For whatever has `data` (the address), `names` (of its fields) and the `form` of them.

    `q` among the names are search words; the others are choices.
    """

    find: str | None = None

    @property
    def is_asked(self) -> bool:
        """Whether the address asks for anything: otherwise no form is needed at all."""
        return any(self.data.get(name) for name in self.names)

    @property
    def stands_open(self) -> bool:
        return ASKED in self.data or (self.is_asked and bool(self.form.errors))

    @property
    def has_search(self) -> bool:
        return "q" in self.names

    @property
    def has_choices(self) -> bool:
        return any(name != "q" for name in self.names)

    @property
    def words(self) -> str:
        """The search words; blank where there are none that can be looked for."""
        return self._cleaned.get("q") or ""

    @property
    def is_narrowed(self) -> bool:
        return any(value not in (None, "") for value in self._cleaned.values())

    @property
    def search_box(self) -> SafeString:
        if self.words:
            return _search_box(SearchForm(self.data, label=self.find))
        return _empty_search_box(str(self.find), get_language())

    @property
    def chosen(self) -> list[tuple[str, str]]:
        """The names of the choices made and what was chosen, in words."""
        return [
            (self.form.fields[name].label, _in_words(self.form, name, value))
            for name, value in self._cleaned.items()
            if name != "q" and value not in (None, "")
        ]

    @property
    def kept(self) -> list[tuple[str, str]]:
        """The choices as the address has them: a new search keeps them."""
        return [
            (name, self.data[name])
            for name in self.names
            if name != "q" and self._cleaned.get(name) not in (None, "")
        ]

    @property
    def _cleaned(self) -> dict:
        if not self.is_asked:
            return {}
        self.form.errors  # noqa: B018 - validates
        return self.form.cleaned_data

    def open_at_first_choice(self, form: BaseForm) -> None:
        """Whoever has just opened the form goes on in it with the keyboard."""
        if self.data.get(ASKED) == "open":
            first = next((name for name in form.fields if name != "q"), None)
            if first is not None:
                form.fields[first].widget.attrs["autofocus"] = True


def _in_words(form: BaseForm, name: str, value) -> str:
    field = form.fields[name]
    if isinstance(field, ModelChoiceField):
        return field.label_from_instance(value)
    if isinstance(value, date):
        return date_format(value, "j F Y")
    return str(dict(getattr(field, "choices", ())).get(value, value))


def _search_box(form: SearchForm) -> SafeString:
    return render_to_string("app/search_field.html", {"search": form})


@lru_cache(maxsize=64)
def _empty_search_box(find: str, _language: str | None) -> SafeString:
    # The same on every page of its kind.
    return _search_box(SearchForm(label=find))
