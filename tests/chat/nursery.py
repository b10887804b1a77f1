"""Gives birth to chat services that can be killed: loads everything once, then forks a service for each line read.

`python nursery.py FOLDER BASE_URL TOKEN WORDS.json`: WORDS maps the SHA-256 of a recording to what it says, so that
nothing but the recogniser itself is stood in for. Prints the process id of each child; `quit` ends.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
import traceback
from datetime import date, datetime
from pathlib import Path

from chat_under_test import QUICK
from knowing_ear import KnowingEar

import gloveside.bot.conversation  # loaded before the first fork, so that a birth is quick
from gloveside.bot.chat.start import service_for
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register


def serve(folder: Path, base_url: str, token: str, words: dict[str, str], reader: Reader) -> None:
    with Workshop(folder, Settings()) as workshop:
        workshop.__dict__["ear"] = KnowingEar(workshop.settings, folder, words, reader)
        service = service_for(workshop, token, show=lambda _line: None, tuning=QUICK)
        service.base_url = base_url
        asyncio.run(service.run())


def main() -> None:
    folder, base_url, token, words_file = sys.argv[1:]
    words = json.loads(Path(words_file).read_text())
    reader = Reader()
    reader.read("hive 1 is queenright", on=date(2026, 11, 20), register=Register(), now=datetime.now().astimezone())
    assert gloveside.bot.conversation.Conversation
    print("ready", flush=True)
    for line in sys.stdin:
        if line.strip() == "quit":
            return
        child = os.fork()
        if child == 0:
            try:
                serve(Path(folder), base_url, token, words, reader)
            except BaseException:
                traceback.print_exc()
                os._exit(1)
            os._exit(0)
        print(child, flush=True)
        os.waitpid(child, 0)
        print("gone", flush=True)


if __name__ == "__main__":
    main()
