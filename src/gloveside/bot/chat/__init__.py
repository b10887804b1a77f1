"""The chat service: durable intake, one worker, durable outbox, on the Bot API."""

import os

# The client library gives lengths of time as timedelta, as its next version will, instead of warning about it.
os.environ.setdefault("PTB_TIMEDELTA", "true")
