"""The entry that the web server calls."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

from tarsus.server.asking_ahead import begin_asking_ahead
from tarsus.server.errands import begin_errands
from tarsus.server.orphan import end_with_parent

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tarsus.server.settings")
application = get_wsgi_application()
end_with_parent()
begin_errands()
begin_asking_ahead()
