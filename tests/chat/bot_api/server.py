"""The HTTP side: routes, parameters in every form, long polling, 409, 429, faults. Runs in a thread of its own."""

from __future__ import annotations

import asyncio
import json
import threading
import time
from collections import deque
from types import TracebackType
from typing import Any, Self

from aiohttp import web

from bot_api.faults import Fault, Faults
from bot_api.methods import Files, Methods
from bot_api.world import ApiError, Call, Json, World

NESTED = {"reply_markup", "allowed_updates", "commands", "reply_parameters", "link_preview_options", "scope"}
SENDS = {"sendmessage", "sendvoice", "sendphoto", "senddocument", "editmessagetext"}


class Flood:
    """Sending limits of the service: so many messages a chat within a window; over it, 429 with the time to wait."""

    def __init__(self, messages: int, seconds: float) -> None:
        self.messages, self.seconds = messages, seconds
        self._times: dict[str, deque[float]] = {}

    def refuse(self, chat: str) -> float:
        """Seconds to wait, 0 when the message may pass (and is counted)."""
        now = time.monotonic()
        times = self._times.setdefault(chat, deque())
        while times and times[0] <= now - self.seconds:
            times.popleft()
        if len(times) < self.messages:
            times.append(now)
            return 0.0
        return self.seconds - (now - times[0])


class BotApi:
    """`with BotApi() as api:` serves on 127.0.0.1 until the block ends. `api.world` is its state."""

    def __init__(self, token: str = "4242:Marrow-Hill-test-token-000000000000", flood: Flood | None = None) -> None:
        self.token = token
        self.world = World(token)
        self.faults = Faults()
        self.flood = flood
        self.down = False
        """While true every connection is closed without an answer: the network is gone."""
        self._methods = Methods(self.world)
        self._poll: asyncio.Future[None] | None = None
        self._closing = False
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, name="bot-api", daemon=True)
        self.port = 0

    @property
    def base_url(self) -> str:
        """For the client's `base_url`, without the token."""
        return f"http://127.0.0.1:{self.port}"

    def __enter__(self) -> Self:
        self._thread.start()
        asyncio.run_coroutine_threadsafe(self._start(), self._loop).result(10)
        self.world.watch(lambda: self._loop.call_soon_threadsafe(self._wake))
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._closing = True
        self._loop.call_soon_threadsafe(self._wake)
        asyncio.run_coroutine_threadsafe(self._runner.cleanup(), self._loop).result(15)
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()

    async def _start(self) -> None:
        app = web.Application(client_max_size=64 * 1024 * 1024)
        app.router.add_route("*", "/bot{token}/{method}", self._api)
        app.router.add_get("/file/bot{token}/{path:.*}", self._file)
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.2)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", self.port)
        await site.start()
        self.port = self._runner.addresses[0][1]

    def _wake(self) -> None:
        if self._poll is not None and not self._poll.done():
            self._poll.set_result(None)

    # -- requests -----------------------------------------------------------------------------------------------------

    @staticmethod
    async def _params(request: web.Request) -> tuple[Json, Files]:
        params: Json = dict(request.query)
        files: Files = {}
        if request.content_type == "application/json":
            params |= await request.json()
        elif request.method == "POST":
            form = await request.post()
            for name, value in form.items():
                if isinstance(value, web.FileField):
                    files[name] = (value.filename, value.file.read())
                else:
                    params[name] = value
        for name in NESTED & params.keys():
            if isinstance(params[name], str):
                try:
                    params[name] = json.loads(params[name])
                except ValueError:
                    raise ApiError(400, f"Bad Request: can't parse {name} JSON object") from None
        return params, files

    async def _api(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"].lower()
        if self.down:
            return self._drop(request)
        fault = self.faults.take(method)
        if fault and fault.kind == "drop":
            return self._drop(request)
        params: Json = {}
        try:
            if request.match_info["token"] != self.token:
                raise ApiError(401, "Unauthorized")
            if fault and fault.kind in ("500", "502"):
                raise ApiError(int(fault.kind), "Internal Server Error" if fault.kind == "500" else "Bad Gateway")
            if fault and fault.kind == "429":
                raise self._too_many(fault.seconds)
            params, files = await self._params(request)
            if method == "getupdates":
                result: Any = await self._get_updates(params)
            else:
                if self.flood and method in SENDS and (wait := self.flood.refuse(str(params.get("chat_id")))):
                    raise self._too_many(wait)
                result = self._methods.call(method, params, files)
            code, body = 200, {"ok": True, "result": result}
        except ApiError as error:
            code, body = error.code, {"ok": False, "error_code": error.code, "description": error.description}
            if error.parameters:
                body["parameters"] = error.parameters
        except ConnectionResetError:
            return self._drop(request)
        except (KeyError, TypeError, ValueError) as error:
            code, body = 400, {"ok": False, "error_code": 400, "description": f"Bad Request: can't parse: {error!r}"}
        self.world.note_call(Call(method, params, time.monotonic(), code))
        if fault and fault.kind == "lost answer":
            return self._drop(request)
        return await self._answer(request, code, json.dumps(body).encode(), "application/json", fault)

    @staticmethod
    def _too_many(seconds: float) -> ApiError:
        wait = max(1, int(seconds + 0.999))
        return ApiError(429, f"Too Many Requests: retry after {wait}", {"retry_after": wait})

    @staticmethod
    def _drop(request: web.Request) -> web.Response:
        if request.transport is not None:
            request.transport.abort()
        return web.Response()

    @staticmethod
    async def _answer(
        request: web.Request, code: int, data: bytes, kind: str, fault: Fault | None
    ) -> web.StreamResponse:
        if fault is None or fault.kind != "slow":
            return web.Response(status=code, body=data, content_type=kind)
        response = web.StreamResponse(status=code, headers={"Content-Type": kind, "Content-Length": str(len(data))})
        await response.prepare(request)
        pieces = 8
        step = max(1, len(data) // pieces)
        try:
            for start in range(0, len(data), step):
                await response.write(data[start : start + step])
                await asyncio.sleep(fault.seconds / pieces)
        except ConnectionResetError:
            pass
        return response

    async def _get_updates(self, params: Json) -> list[Json]:
        if self.world.webhook:
            raise ApiError(
                409,
                "Conflict: can't use getUpdates method while webhook is active; "
                "use deleteWebhook to delete the webhook first",
            )
        if self._poll is not None and not self._poll.done():
            self._poll.set_exception(
                ApiError(
                    409,
                    "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running",
                )
            )
        if "allowed_updates" in params:
            self.world.allowed = list(params["allowed_updates"] or [])
        offset = int(params.get("offset") or 0)
        limit = min(100, max(1, int(params.get("limit") or 100)))
        end = time.monotonic() + min(50.0, float(params.get("timeout") or 0))
        while True:
            if batch := self.world.pending(offset, limit):
                return batch
            left = end - time.monotonic()
            if left <= 0 or self._closing:
                return []
            poll = self._poll = self._loop.create_future()
            try:
                await asyncio.wait_for(poll, left)
            except TimeoutError:
                return []
            finally:
                if self._poll is poll:
                    self._poll = None

    async def _file(self, request: web.Request) -> web.StreamResponse:
        path = request.match_info["path"]
        fault = self.faults.take("file")
        if self.down or (fault and fault.kind in ("drop", "lost answer")):
            return self._drop(request)
        if request.match_info["token"] != self.token:
            return web.json_response({"ok": False, "error_code": 401, "description": "Unauthorized"}, status=401)
        if fault and fault.kind in ("500", "502"):
            return web.Response(status=int(fault.kind), text="server error")
        if fault and fault.kind == "429":
            error = self._too_many(fault.seconds)
            body = {"ok": False, "error_code": 429, "description": error.description, "parameters": error.parameters}
            return web.json_response(body, status=429)
        for stored, data in self.world.files.values():
            if stored == path:
                with self.world.changed:
                    self.world.downloads[path] = self.world.downloads.get(path, 0) + 1
                    self.world.changed.notify_all()
                return await self._answer(request, 200, data, "application/octet-stream", fault)
        return web.json_response({"ok": False, "error_code": 404, "description": "Not Found"}, status=404)
