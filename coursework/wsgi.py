"""The WSGI application that gunicorn serves."""

import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coursework.settings")
application = get_wsgi_application()
# All views, with what they draw and compute with: two seconds that nobody's first page waits for.
get_resolver().url_patterns  # noqa: B018
