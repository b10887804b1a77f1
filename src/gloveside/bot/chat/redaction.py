"""Keeps the bot's token out of logs, errors and the record."""

from __future__ import annotations

import logging
import re

_ANY_TOKEN = re.compile(r"(?<!\d)\d{3,20}:[A-Za-z0-9_-]{20,100}")
HIDDEN = "[token]"
_URL_LOGGERS = ("httpx", "httpcore")
_NOISY_LOGGERS = ("telegram.request",)
"""Writes a whole stack trace for each answer of the service that is no JSON; we say in one line what failed."""


def redact(text: str, token: str = "") -> str:
    """The text without the token, nor anything of a token's shape."""
    if token:
        text = text.replace(token, HIDDEN).replace(token.replace(":", "%3A"), HIDDEN)
    return _ANY_TOKEN.sub(HIDDEN, text)


class Redacting(logging.Filter):
    """Rewrites each record that a handler is about to write: message, arguments, and the text of an exception."""

    def __init__(self, token: str) -> None:
        """token: the secret to remove; anything of its shape goes as well."""
        super().__init__()
        self._token = token
        self._formatter = logging.Formatter()

    def filter(self, record: logging.LogRecord) -> bool:
        """Always lets the record through, cleaned."""
        try:
            message = record.getMessage()
        except Exception:  # a broken format string must not stop the service
            message = f"{record.msg} {record.args!r}"
        record.msg, record.args = redact(message, self._token), ()
        if record.exc_info and not record.exc_text:
            record.exc_text = self._formatter.formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = redact(record.exc_text, self._token)
            record.exc_info = None
        if record.stack_info:
            record.stack_info = redact(record.stack_info, self._token)
        return True


def guard(token: str) -> None:
    """Put the filter on every handler of the root logger and make the HTTP libraries quiet: they log whole addresses.

    Call after logging is set up. Filters belong on handlers: a filter on a logger is not asked about the records of
    its children.
    """
    for name in _URL_LOGGERS:
        logging.getLogger(name).setLevel(logging.WARNING)
    for name in _NOISY_LOGGERS:
        logging.getLogger(name).setLevel(logging.CRITICAL)
    root = logging.getLogger()
    if not root.handlers:
        logging.basicConfig(level=logging.INFO, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    for handler in root.handlers:
        if not any(isinstance(present, Redacting) for present in handler.filters):
            handler.addFilter(Redacting(token))
