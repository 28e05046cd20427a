"""For whoever watches the server: one address, answered without signing in."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from coursework.health import examine


@login_not_required
@require_safe
@never_cache
def health(request: HttpRequest) -> JsonResponse:
    """200 where everything is in order, 503 where anything is not, with a word for each part."""
    parts = examine()
    is_well = set(parts.values()) == {"ok"}
    return JsonResponse(
        {"status": "ok" if is_well else "failing", "parts": parts}, status=200 if is_well else 503
    )
