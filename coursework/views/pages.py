"""What all pages do alike: a form, a confirmation, a long list."""

import logging
from collections.abc import Callable, Sequence

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.filters import ListFilter
from coursework.forms.common import ConfirmForm
from coursework.listing import Column, csv_response, wants_csv
from coursework.long_lists import page_of

logger = logging.getLogger(__name__)


def form_page(
    request: HttpRequest,
    form: BaseForm,
    *,
    save: Callable[[BaseForm], tuple[str, str]],
    template: str = "coursework/form.html",
    **context,
) -> HttpResponse:
    """Show a form, or save a valid one and go on.

    `save` returns what is told afterwards and the address to go to; a ValidationError from it
    stands on the form. The template gets `heading`, `submit`, `cancel` and the rest;
    `harmful` where something is lost by it: the button warns.
    """
    if request.method == "POST" and form.is_valid():
        try:
            with transaction.atomic():
                told, address = save(form)
        except ValidationError as error:
            form.add_error(None, error)
        except IntegrityError:
            # Two people (or two presses of a button) at once: the form saw no conflict yet.
            logger.warning("A form met a conflict in the database.", exc_info=True)
            form.add_error(
                None,
                _("The same thing was saved a moment ago. Look for it before you try again."),
            )
        else:
            messages.success(request, told)
            return redirect(address)
    return render(request, template, {"form": form, **context})


def confirm_page(
    request: HttpRequest, *, act: Callable[[], str], cancel: str, done: str, **context
) -> HttpResponse:
    """Ask, and only then act. `act` returns what is told afterwards.

    `harmless` in the context says that nothing is lost by it: the button is then a plain one.
    `keep` names the way back where "Cancel" or "Keep it" would not be clear.

    Where the act is refused (ValidationError, HeldError) the reason is told and nothing changed.
    """
    if request.method == "POST":
        try:
            messages.success(request, act())
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
        except services.HeldError as error:
            messages.error(request, str(error))
        else:
            return redirect(done)
        return redirect(cancel)
    return render(
        request, "coursework/confirm.html", {"form": ConfirmForm(), "cancel": cancel, **context}
    )


def removal_page(
    request: HttpRequest, thing, *, told: str, cancel: str, done: str, **context
) -> HttpResponse:
    """The confirmation before one thing is removed; 403 for readers."""
    policies.require(policies.may_arrange(request.user, thing))

    # Said before anyone presses a button that cannot work.
    context["refusal"] = services.reason_to_stay(thing)

    def act() -> str:
        services.remove(request.user, thing)
        return told

    return confirm_page(request, act=act, cancel=cancel, done=done, **context)


def list_page(
    request: HttpRequest,
    template: str,
    narrowed: ListFilter,
    *,
    name: str,
    columns: Sequence[Column],
    rows_of: Callable[[QuerySet], QuerySet] | None = None,
    **context,
) -> HttpResponse:
    """A list as it was narrowed: a page of it, or all of it as a CSV file where that is asked for.

    `rows_of` adds to the rows what only the file says.
    """
    if wants_csv(request):
        rows = narrowed.qs if rows_of is None else rows_of(narrowed.qs)
        return csv_response(name, columns, rows.iterator(chunk_size=500))
    page = page_of(request, narrowed.qs)
    return render(
        request, template, {"page": page, "may_save": True, "filter": narrowed, **context}
    )
