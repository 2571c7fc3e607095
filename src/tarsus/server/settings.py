"""The only reader of the environment. Every setting a park can give is in `docs/reference/settings.md`.

Decision 0002.
"""

from __future__ import annotations

import os
import tempfile
from hashlib import sha256
from pathlib import Path
from typing import Any

from tarsus.records.databases import REGISTER, postgresql_at, sqlite_in
from tarsus.server.environment import told
from tarsus.server.signing import signing_key, told_key

# What Tarsus writes (register, write-ahead log, backups, exports, keys) is for its own account alone, from
# its birth.
os.umask(0o077)

TOLD = told(os.environ, Path.cwd())
"""What this installation was told, and by whom: shown by `tarsus settings`."""

HOME = TOLD.path("TARSUS_HOME", Path("var"))
if TOLD.flag("TARSUS_NEW"):
    # Only a command that was asked to make a register makes its folder: a mistyped one is told of, not made.
    HOME.mkdir(parents=True, exist_ok=True)
DEBUG = TOLD.flag("TARSUS_DEBUG")
# A look at a folder in which no register is leaves nothing behind, a key neither.
_IS_THERE = (HOME / REGISTER).exists() or bool(TOLD.text("TARSUS_DATABASE"))
SECRET_KEY = told_key(TOLD.text("TARSUS_SECRET_KEY")) or signing_key(
    HOME, keep=_IS_THERE or TOLD.flag("TARSUS_NEW")
)
# `tarsus serve --park` adds the names that its own certificate carries.
ALLOWED_HOSTS = TOLD.words("TARSUS_HOSTS", "127.0.0.1,localhost,[::1]") + TOLD.words("TARSUS_PARK_HOSTS")
CSRF_TRUSTED_ORIGINS = TOLD.words("TARSUS_ORIGINS")
BEHIND_TLS = TOLD.flag("TARSUS_TLS")
# Said by `tarsus serve` alone: the digest of the one-time address of a new park, and the page of --park.
FIRST_PERSON = TOLD.text("TARSUS_FIRST_PERSON")
PARK_INVITATION = TOLD.text("TARSUS_PARK_INVITATION")
# Whose word about where a request came from is taken: the servers that stand in front of this one.
PROXIES = TOLD.words("TARSUS_PROXIES")
BACKUPS = TOLD.path("TARSUS_BACKUPS", HOME) if TOLD.text("TARSUS_BACKUPS") else None
BACKUPS_KEEP = TOLD.whole("TARSUS_BACKUPS_KEEP", 30)

MAIL_SECURITY = TOLD.one_of("TARSUS_MAIL_SECURITY", "starttls", "tls", "none")
EMAIL_HOST = TOLD.text("TARSUS_MAIL_HOST")
EMAIL_PORT = TOLD.whole("TARSUS_MAIL_PORT", {"starttls": 587, "tls": 465, "none": 25}[MAIL_SECURITY])
EMAIL_USE_TLS = MAIL_SECURITY == "starttls"
EMAIL_USE_SSL = MAIL_SECURITY == "tls"
EMAIL_HOST_USER = TOLD.text("TARSUS_MAIL_USER")
EMAIL_HOST_PASSWORD = TOLD.text("TARSUS_MAIL_PASSWORD")
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = TOLD.text("TARSUS_MAIL_FROM", "tarsus@localhost")
PUSH_SERVICES = TOLD.words("TARSUS_PUSH_SERVICES")
ADDRESS = TOLD.text("TARSUS_ADDRESS")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "tarsus.records",
    "tarsus.web",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    # Before whatever writes an answer, so that pages, packs and static files alike travel small.
    "django.middleware.gzip.GZipMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "tarsus.web.guarding.Guarding",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "tarsus.web.sessions.SessionsNoted",
    "tarsus.web.park_time.ParkTime",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "tarsus.server.urls"
WSGI_APPLICATION = "tarsus.server.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "records.Person"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "tarsus.web.navigation.page_frame",
            ],
        },
    }
]


def _database() -> dict[str, Any]:
    """SQLite in the home folder, or PostgreSQL where ``TARSUS_DATABASE`` names one."""
    if TOLD.text("TARSUS_DATABASE"):
        return postgresql_at(TOLD.text("TARSUS_DATABASE"), "TARSUS_DATABASE")
    test = Path(tempfile.gettempdir()) / f"tarsus-test-{os.getpid()}.sqlite3"
    return {**sqlite_in(HOME), "TEST": {"NAME": test}}


DATABASES = {"default": _database()}

# ATOMIC_REQUESTS stays off: with IMMEDIATE every page would take the write lock. Transactions live in
# actions.

AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = [
    "tarsus.server.hashing.ParkArgon2Hasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("login", "display_name")},
    },
]
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = ["username", "ip_address"]
AXES_HANDLER = "tarsus.server.throttling.ByNameAndAddress"
AXES_CLIENT_IP_CALLABLE = "tarsus.web.guarding.address_of"
# Whoever is held up and tries again waits no longer for it.
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_RESET_ON_SUCCESS = True
# A person's own field is called `login`; the form's, and so what is counted by, is this.
AXES_USERNAME_FORM_FIELD = "username"
AXES_VERBOSE = False
# What is kept of a try holds neither password nor code.
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address", "code"]
AXES_LOCKOUT_CALLABLE = "tarsus.web.sign_in.locked_out"
LOGIN_URL = "sign-in"
# For how long the code holds by which a phone joins (web/phone.py).
PASSWORD_RESET_TIMEOUT = 600
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"

SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = BEHIND_TLS
CSRF_COOKIE_SECURE = BEHIND_TLS
if BEHIND_TLS:
    # Browsers then take these cookies from this very host over TLS only, and its pages over nothing else.
    SESSION_COOKIE_NAME = "__Host-sessionid"
    CSRF_COOKIE_NAME = "__Host-csrftoken"
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

# No request leaves the machine, and no script or style stands in a page.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "object-src": ["'none'"],
        "base-uri": ["'self'"],
        "frame-ancestors": ["'none'"],
        "form-action": ["'self'"],
        "worker-src": ["'self'"],
        "manifest-src": ["'self'"],
    }
}

LANGUAGE_CODE = "en-gb"
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"


def _build() -> str:
    """A digest of all that is served as files, so that a new version is never mixed with a phone's cached
    old one.
    """
    digest = sha256()
    for path in sorted((Path(__file__).parents[1] / "web" / "static").rglob("*")):
        if path.is_file():
            digest.update(path.name.encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()[:10]


BUILD = TOLD.text("TARSUS_BUILD") or _build()
STATIC_URL = f"/static/{BUILD}/"
STATIC_ROOT = None
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
# The folder's name carries the build, so what lies in it never changes.
WHITENOISE_IMMUTABLE_FILE_TEST = rf"^/static/{BUILD}/"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
