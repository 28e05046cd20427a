"""A part of a form that is folded away until it is needed."""

from crispy_forms.layout import LayoutObject
from crispy_forms.utils import TEMPLATE_PACK
from django.template.loader import render_to_string


class Folded(LayoutObject):
    """Fields behind a summary line, open where one has an error or holds something unusual.

    `usual` maps a field's name to what it holds when nobody touched it (blank if left out).
    """

    template = "assessments/forms/folded.html"

    def __init__(self, summary, *fields, usual: dict[str, str] | None = None):
        self.summary, self.fields, self.usual = summary, list(fields), usual or {}

    def render(self, form, context, template_pack=TEMPLATE_PACK, **kwargs):
        inner = self.get_rendered_fields(form, context, template_pack, **kwargs)
        names = [pointer.name for pointer in self.get_field_names()]
        is_open = any(
            form[name].errors or str(form[name].value() or "") != self.usual.get(name, "")
            for name in names
            if name in form.fields
        )
        return render_to_string(
            self.template, {"summary": self.summary, "fields": inner, "is_open": is_open}
        )
