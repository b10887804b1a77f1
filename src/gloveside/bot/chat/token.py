"""Where the bot's token comes from: the environment, or a file that nobody else can read."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Mapping
from pathlib import Path

VARIABLE = "GLOVESIDE_TOKEN"
FILE_VARIABLE = "GLOVESIDE_TOKEN_FILE"
_SHAPE = re.compile(r"\d{3,20}:[A-Za-z0-9_-]{20,100}")


class TokenError(Exception):
    """No usable token; the message says what to do and never holds any part of the token."""


def read_token(file: Path | None, environment: Mapping[str, str] = os.environ) -> str:
    """The token from GLOVESIDE_TOKEN, else from the file that GLOVESIDE_TOKEN_FILE names, else from `file`.

    A file must be a plain file that only its owner can read (mode 600 or 400), as with a private key.
    Raises TokenError.
    """
    if given := environment.get(VARIABLE, "").strip():
        return _checked(given, f"the environment variable {VARIABLE}")
    if named := environment.get(FILE_VARIABLE, "").strip():
        file = Path(named)
    if file is None:
        raise TokenError(
            f"There is no bot token. Set {VARIABLE}, or put it in a file, make it private (chmod 600 FILE) and name "
            "that file as token_file under [chat] in gloveside.toml."
        )
    try:
        state = file.stat()
        if not stat.S_ISREG(state.st_mode):
            raise TokenError(f"{file} is not a plain file. Put the bot token, alone, into a file and name that.")
        if os.name == "posix" and state.st_mode & (stat.S_IRWXG | stat.S_IRWXO):
            raise TokenError(f"{file} can be read by others. Make it private first: chmod 600 {file}")
        text = file.read_text(encoding="ascii", errors="strict").strip()
    except FileNotFoundError:
        raise TokenError(f"The token file {file} is not there. Make it, or set {VARIABLE}.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise TokenError(f"The token file {file} cannot be read ({type(error).__name__}).") from None
    return _checked(text, str(file))


def _checked(token: str, where: str) -> str:
    if not _SHAPE.fullmatch(token):
        raise TokenError(
            f"What {where} holds does not look like a bot token (digits, a colon, then letters). Copy it again, whole."
        )
    return token
