"""The chat service as a whole: made of its parts, started, and stopped cleanly."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import signal
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import telegram
from telegram.error import InvalidToken, TelegramError
from telegram.request import HTTPXRequest

from gloveside.bot.chat import admission, lines, pauses
from gloveside.bot.chat.acknowledging import Acknowledger
from gloveside.bot.chat.admission import Admission, Admitted
from gloveside.bot.chat.downloads import Downloads
from gloveside.bot.chat.outgoing import Outgoing
from gloveside.bot.chat.overtaking import looks_like_question
from gloveside.bot.chat.polling import LONG_POLL, Poller
from gloveside.bot.chat.port import Conversation
from gloveside.bot.chat.redaction import redact
from gloveside.bot.chat.sending import PRIVATE_CHAT, Sender
from gloveside.bot.chat.token import TokenError
from gloveside.bot.chat.work import PATIENCE, SLOW, Work
from gloveside.storage.store import Store

log = logging.getLogger(__name__)

TICK_EVERY = 20.0
NEW_CODE_EVERY = 900.0
REFUSED_TOKEN = "The chat service does not know this bot token. Copy it again from where the bot was made."  # noqa: S105


@dataclass(frozen=True, slots=True)
class Tuning:
    """Times of the service, in seconds; the defaults are for real use, benches and tests shorten some."""

    long_poll: int = LONG_POLL
    longest_pause: float = 30.0
    private_chat: tuple[float, float] = PRIVATE_CHAT
    patience: float = PATIENCE
    tick_every: float = TICK_EVERY
    stop_within: float = 15.0
    read_timeout: float = 20.0
    download_deadline: float = 120.0


@dataclass(slots=True)
class ChatService:
    """Serves one record through one bot.

    tick: called every few seconds in a thread, to put due reminders into the outbox; whether it queued something.
    speak: makes a voice message of a text, or None. show: tells the person at the console something. warm_up: loads
    what the first note would otherwise wait for. overtakes: whether a typed line is a question that changes nothing.
    """

    token: str
    store: Store
    conversation: Conversation
    home: Path
    base_url: str = "https://api.telegram.org"
    tick: Callable[[], bool] | None = None
    speak: Callable[[str], Path | None] | None = None
    overtakes: Callable[[str], bool] = looks_like_question
    show: Callable[[str], None] = print
    warm_up: Callable[[], None] | None = None
    tuning: Tuning = field(default_factory=Tuning)
    username: str = ""
    ready: asyncio.Event = field(default_factory=asyncio.Event)
    _stop: asyncio.Event = field(default_factory=asyncio.Event)

    async def run(self) -> None:
        """Serve until `stop`, SIGTERM or SIGINT. Raises TokenError when the service refuses the token."""
        self._listen_for_signals()
        bot = self._bot()
        try:
            if not await self._say_hello(bot):
                return
            await self._serve(bot)
        except InvalidToken:
            raise TokenError(REFUSED_TOKEN) from None
        finally:
            with contextlib.suppress(TelegramError):
                await bot.shutdown()

    def stop(self) -> None:
        """Ask the service to end; call it on its event loop."""
        self._stop.set()

    # -- parts --------------------------------------------------------------------------------------------------------

    def _bot(self) -> telegram.Bot:
        base = self.base_url.rstrip("/")
        t = self.tuning.read_timeout

        def request(connections: int) -> HTTPXRequest:
            return HTTPXRequest(
                connection_pool_size=connections,
                read_timeout=t,
                write_timeout=t,
                connect_timeout=10.0,
                pool_timeout=30.0,
            )

        return telegram.Bot(
            self.token,
            base_url=f"{base}/bot",
            base_file_url=f"{base}/file/bot",
            request=request(32),
            get_updates_request=request(2),
        )

    async def _say_hello(self, bot: telegram.Bot) -> bool:
        """Reach the service, however long it takes; False when stopped before."""
        failures = 0
        while not self._stop.is_set():
            try:
                await bot.initialize()
                await bot.delete_webhook()
                with contextlib.suppress(TelegramError):
                    await bot.set_my_commands(admission.MENU)
                self.username = bot.username
                return True
            except InvalidToken:
                raise
            except TelegramError as error:
                failures += 1
                if failures == 1:
                    log.warning("the chat service cannot be reached (%s); trying on", redact(str(error)))
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(self._stop.wait(), pauses.growing(failures, self.tuning.longest_pause))
        return False

    async def _serve(self, bot: telegram.Bot) -> None:
        t = self.tuning
        outgoing = Outgoing(self.store, self.home)
        await asyncio.to_thread(outgoing.tidy)
        sender = Sender(bot, self.store, outgoing, private_chat=t.private_chat, longest_pause=t.longest_pause)
        acks = Acknowledger(bot)

        def answered(chat: int, urgent: bool) -> None:
            if urgent:
                sender.hurry(str(chat))
            else:
                sender.bell.ring()
            acks.answered(chat, self.store.intake.open_count(str(chat), SLOW))

        downloads = Downloads(bot, self.store, t.download_deadline)
        work = Work(
            self.store,
            self.conversation,
            downloads,
            outgoing,
            answered=answered,
            speak=self.speak,
            patience=t.patience,
            longest_pause=t.longest_pause,
        )

        def admitted(result: Admitted) -> None:
            for chat, notes in result.heard.items():
                acks.heard(chat, notes, result.seconds.get(chat, 0.0))
            for chat in result.typed:
                acks.typed(chat)
            for query in result.taps:
                acks.tapped(query)
            if result.new:
                work.wake()
            if result.queued:
                sender.bell.ring()

        gate = Admission(self.store, overtakes=self.overtakes)
        gate.username = self.username
        poller = Poller(bot, self.store, gate, admitted, long_poll=t.long_poll, longest_pause=t.longest_pause)
        await sender.recover()
        # Reminders that fell due while we were away, before any note can move their dates.
        await self._tick_once(sender)
        await work.recover()
        log.info("Serving as @%s.", self.username)
        loops = [
            asyncio.create_task(loop)
            for loop in (poller.run(), sender.run(), self._tick(sender), self._show_code(), self._until_stopped())
        ]
        if self.warm_up is not None:
            work.warm_up(self.warm_up)
        workers = [asyncio.create_task(loop) for loop in (work.run_slow(), work.run_quick())]
        self.ready.set()
        try:
            done, _ = await asyncio.wait([*loops, *workers], return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                task.result()
        finally:
            running = set(loops)
            while running:  # a wait that ends in the moment of its cancelling swallows it (asyncio before 3.12)
                for task in running:
                    task.cancel()
                _, running = await asyncio.wait(running, timeout=0.5)
            await asyncio.gather(*loops, return_exceptions=True)
            await work.close(workers, self.tuning.stop_within)
            with contextlib.suppress(TelegramError, TimeoutError):
                async with asyncio.timeout(3):
                    await poller.confirm()
            await sender.close(5.0)
            await acks.close()
            log.info("Stopped.")

    async def _until_stopped(self) -> None:
        await self._stop.wait()

    # -- small loops --------------------------------------------------------------------------------------------------

    async def _tick_once(self, sender: Sender) -> None:
        if self.tick is None:
            return
        try:
            if await asyncio.to_thread(self.tick):
                sender.bell.ring()
        except Exception:
            log.exception("reminders could not be worked out; trying on")

    async def _tick(self, sender: Sender) -> None:
        while True:
            await asyncio.sleep(self.tuning.tick_every)
            await self._tick_once(sender)

    async def _show_code(self) -> None:
        """While nobody is paired: a fresh code on the console whenever the last one has run out."""
        while not await asyncio.to_thread(self.store.people.all):
            code = await asyncio.to_thread(self.store.people.new_code)
            self.show(lines.CODE_ON_CONSOLE.format(name=self.username, code=code))
            await asyncio.sleep(NEW_CODE_EVERY)
        await asyncio.Event().wait()

    def _listen_for_signals(self) -> None:
        loop = asyncio.get_running_loop()
        for name in (signal.SIGTERM, signal.SIGINT):
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(name, self._stop.set)
