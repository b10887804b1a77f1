"""The token: where it comes from, and that it never gets out."""

from __future__ import annotations

import logging
import sqlite3
from pathlib import Path

import pytest
from bot_api import BotApi, Fault, Phone
from chat_under_test import opus, serving

from gloveside.bot.chat.redaction import HIDDEN, Redacting, guard, redact
from gloveside.bot.chat.token import TokenError, read_token
from gloveside.storage.store import Store

TOKEN = "123456789:AAE-not_a_real_token_only_for_tests00"


def test_the_environment_comes_first(tmp_path: Path) -> None:
    assert read_token(tmp_path / "none", {"GLOVESIDE_TOKEN": f" {TOKEN}\n"}) == TOKEN


def test_a_private_file_is_read(tmp_path: Path) -> None:
    file = tmp_path / "token"
    file.write_text(TOKEN + "\n")
    file.chmod(0o600)
    assert read_token(file, {}) == TOKEN


def test_a_file_can_be_named_in_the_environment(tmp_path: Path) -> None:
    file = tmp_path / "token"
    file.write_text(TOKEN + "\n")
    file.chmod(0o400)
    assert read_token(tmp_path / "another", {"GLOVESIDE_TOKEN_FILE": str(file)}) == TOKEN


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o644, 0o660, 0o666, 0o620])
def test_a_file_that_others_can_read_is_refused_and_says_what_to_do(tmp_path: Path, mode: int) -> None:
    file = tmp_path / "token"
    file.write_text(TOKEN)
    file.chmod(mode)
    with pytest.raises(TokenError, match="chmod 600") as caught:
        read_token(file, {})
    assert TOKEN not in str(caught.value)


def test_no_token_says_where_to_put_one() -> None:
    with pytest.raises(TokenError, match="GLOVESIDE_TOKEN"):
        read_token(None, {})


@pytest.mark.parametrize("wrong", ["hello", "123:short", TOKEN + " and more", TOKEN[:-20].replace(":", "")])
def test_what_is_no_token_is_refused_without_showing_it(wrong: str) -> None:
    with pytest.raises(TokenError) as caught:
        read_token(None, {"GLOVESIDE_TOKEN": wrong})
    assert wrong not in str(caught.value)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(TokenError, match="is not there"):
        read_token(tmp_path / "none", {})
    with pytest.raises(TokenError, match="not a plain file"):
        read_token(tmp_path, {})


def test_the_filter_cleans_message_arguments_and_traceback() -> None:
    record = logging.LogRecord("x", logging.INFO, __file__, 1, "GET %s", (f"https://host/bot{TOKEN}/getMe",), None)
    try:
        raise ValueError(f"no answer from /bot{TOKEN}/")
    except ValueError:
        import sys

        record.exc_info = sys.exc_info()
    assert Redacting(TOKEN).filter(record)
    shown = logging.Formatter("%(message)s").format(record)
    assert TOKEN not in shown
    assert HIDDEN in shown
    assert "ValueError" in shown


def test_other_tokens_go_as_well_and_times_stay() -> None:
    assert redact("at 12:30:45 with 987654:ABCDEFGHIJKLMNOPQRSTUVWXYZ012345") == f"at 12:30:45 with {HIDDEN}"


async def test_the_token_is_nowhere_after_a_run_full_of_errors(
    api: BotApi, store: Store, owner: Phone, capfd, tmp_path: Path
) -> None:
    """The service at its most talkative, with refusals, drops and a wrong token: no log, row or reply holds it."""
    root = logging.getLogger()
    log_file = tmp_path / "service.log"
    handler = logging.FileHandler(log_file)
    root.addHandler(handler)
    level, root.level = root.level, logging.DEBUG
    try:
        guard(api.token)
        api.faults.plan("sendmessage", Fault("500"), Fault("drop"))
        api.faults.plan("file", Fault("500"), Fault("drop"))
        api.faults.plan("getupdates", Fault("502"), Fault("drop"))
        async with serving(api, store) as chat:
            owner.voice(opus(0.2))
            await chat.read(owner, "a recording", deadline=20)
        async with serving(api, store, token="4242:another-token-entirely-0000000000000") as chat:
            await chat.until(chat.task.done, "the end")
        assert isinstance(chat.task.exception(), TokenError)
        assert "4242" not in str(chat.task.exception())
    finally:
        root.level = level
        root.removeHandler(handler)
        handler.close()
    written = log_file.read_text() + "".join(capfd.readouterr())
    assert "sending" in written or "message" in written, "the log must have something in it to prove anything"
    dump = "\n".join(sqlite3.connect(store.file.path).iterdump())
    for place in (written, dump, *(s.text for s in api.world.sent)):
        assert api.world.token not in place
        assert "bot4242" not in place
    logging.getLogger("telegram.request").setLevel(logging.NOTSET)
    logging.getLogger("httpx").setLevel(logging.NOTSET)
    logging.getLogger("httpcore").setLevel(logging.NOTSET)
