"""How every form of the site is drawn."""

from crispy_forms.helper import FormHelper

from coursework.decimals import take_comma


class CrispyLook:
    """Mixin for forms: fields drawn by crispy-forms inside the page's own <form> tag.

    `layout` may be overridden by a method that returns a crispy Layout.
    """

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, value in self.initial.items():
            # "15" reads better in a field than "15.0".
            if isinstance(value, float) and value.is_integer():
                self.initial[name] = int(value)
        for field in self.fields.values():
            take_comma(field)
        self.helper = FormHelper()
        self.helper.form_tag = False
        # The page's <form> has the token and the buttons.
        self.helper.disable_csrf = True
        layout = self.layout()
        if layout is not None:
            self.helper.layout = layout

    def layout(self):
        """The order and grouping of the fields; None for one below the other."""
        return
