"""Fetching the Vosk model, from a server on this machine that behaves well or badly."""

import contextlib
import hashlib
import io
import json
import threading
import time
import zipfile
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from gloveside.speech.model_download import Limits, fetched_model, get_model
from gloveside.speech.transcript import EngineUnavailable

NAME = "vosk-model-small-en-us-0.15"
QUICK = Limits(connect=5, read=5, list_total=20, model_total=20)


def bundle(names=None, extra=()):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        for name in names or ("am/final.mdl", "graph/Gr.fst", "graph/HCLr.fst", "conf/mfcc.conf"):
            file.writestr(f"{NAME}/{name}", name * 50)
        for name in extra:
            file.writestr(name, "outside")
    return out.getvalue()


def entry(data, **changes):
    return {
        "lang": "en-us",
        "type": "small",
        "obsolete": "false",
        "name": NAME,
        "version": "0.15",
        "size": len(data),
        "md5": hashlib.md5(data).hexdigest(),
        "url": "http://127.0.0.1:9/elsewhere.zip",
        **changes,
    }


class Server(ThreadingHTTPServer):
    """Answers from `answers`: path -> (status, body, seconds waited within the body)."""

    daemon_threads = True

    def __init__(self):
        self.answers, self.asked, self.stop = {}, [], threading.Event()
        super().__init__(("127.0.0.1", 0), Handler)

    @property
    def list_url(self):
        return f"http://127.0.0.1:{self.server_port}/vosk/models/model-list.json"

    def offer(self, listing, data=b"", *, status=200, pause=0.0, list_pause=0.0):
        body = listing if isinstance(listing, bytes) else json.dumps(listing).encode()
        self.answers = {
            "/vosk/models/model-list.json": (200, body, list_pause),
            f"/vosk/models/{NAME}.zip": (status, data, pause),
        }


class Handler(BaseHTTPRequestHandler):
    def do_GET(self):
        self.server.asked.append(self.path)
        status, body, pause = self.server.answers.get(self.path, (404, b"", 0.0))
        self.send_response(status)
        self.end_headers()  # no length: the end of the connection is the end of the body
        half = len(body) // 2
        self.wfile.write(body[:half])
        self.wfile.flush()
        if pause:
            self.server.stop.wait(pause)
        with contextlib.suppress(OSError):
            self.wfile.write(body[half:])

    def log_message(self, *_):
        pass


@pytest.fixture
def server():
    server = Server()
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield server
    server.stop.set()
    server.shutdown()
    server.server_close()
    thread.join(timeout=10)


def nothing_left(home):
    folder = home / "vosk"
    return fetched_model(home) is None and not [p for p in folder.glob("*") if p.name != ".lock"]


def test_a_good_model_is_fetched_once(server, tmp_path):
    data = bundle()
    large = entry(data, name="vosk-model-en-us-0.22", type="big")
    old = entry(data, name="vosk-model-small-en-us-0.3", obsolete="true")
    other = entry(data, name="vosk-model-small-ko-0.22", lang="ko")
    server.offer([large, old, other, entry(data)], data)
    told = []
    folder = get_model(tmp_path, server.list_url, limits=QUICK, progress=lambda n, total: told.append((n, total)))
    assert folder == tmp_path / "vosk" / NAME == fetched_model(tmp_path)
    assert (folder / "graph" / "Gr.fst").read_text() == "graph/Gr.fst" * 50
    assert told[-1] == (len(data), len(data))
    assert [p.name for p in folder.parent.iterdir() if p.name != ".lock"] == [NAME]
    assert get_model(tmp_path, server.list_url, limits=QUICK) == folder
    assert [path for path in server.asked if path.endswith(".zip")] == [f"/vosk/models/{NAME}.zip"]


def test_a_model_that_is_there_needs_no_network(tmp_path):
    data_folder = tmp_path / "vosk" / NAME
    for name in ("am/final.mdl", "graph/HCLG.fst"):
        (data_folder / name).parent.mkdir(parents=True, exist_ok=True)
        (data_folder / name).touch()
    assert get_model(tmp_path, "http://127.0.0.1:9/model-list.json", limits=QUICK) == data_folder


def test_sha256_is_used_where_the_list_has_one(server, tmp_path):
    data = bundle()
    good = hashlib.sha256(data).hexdigest()
    server.offer([entry(data, sha256=good, md5="0" * 32)], data)
    assert get_model(tmp_path / "good", server.list_url, limits=QUICK).name == NAME
    server.offer([entry(data, sha256="0" * 64)], data)
    with pytest.raises(EngineUnavailable, match="checksum"):
        get_model(tmp_path / "bad", server.list_url, limits=QUICK)


def test_without_a_network(tmp_path):
    with pytest.raises(EngineUnavailable, match=r"cannot be reached\. Connect this computer to the internet and run"):
        get_model(tmp_path, "http://127.0.0.1:9/model-list.json", limits=QUICK)
    assert nothing_left(tmp_path)


DATA = bundle()


@pytest.mark.parametrize(
    ("listing", "data", "status", "says"),
    [
        ([entry(DATA)], DATA[:-20], 200, r"came cut short: \d+ of \d+ bytes"),
        ([entry(DATA)], DATA + b"more", 200, "sends more than"),
        ([entry(DATA, md5="0" * 32)], DATA, 200, "checksum is not that of the list"),
        ([entry(DATA)], b"", 404, "answered 404: the model is not there"),
        ([entry(DATA)], b"", 500, "answered 500"),
        ([entry(b"PK no zip")], b"PK no zip", 200, "zip is damaged"),
        (b"<html>log in first</html>", b"", 200, "not as expected"),
        ([], b"", 200, "not as expected"),
        ({"error": "moved"}, b"", 200, "not as expected"),
        ([entry(DATA, md5="")], DATA, 200, "checksum"),
        ([entry(DATA, name="../../evil")], DATA, 200, "unlikely model"),
        ([entry(DATA, size=10**12)], DATA, 200, "unlikely model"),
        ([entry(bundle(["README"]))], bundle(["README"]), 200, "is not a Vosk model"),
    ],
    ids=[
        "cut short",
        "too long",
        "checksum",
        "404",
        "500",
        "no zip",
        "captive portal",
        "empty list",
        "other list",
        "no checksum",
        "name",
        "size",
        "no model",
    ],
)
def test_what_is_not_as_promised_changes_nothing(server, tmp_path, listing, data, status, says):
    server.offer(listing, data, status=status)
    with pytest.raises(EngineUnavailable, match=says):
        get_model(tmp_path, server.list_url, limits=QUICK)
    assert nothing_left(tmp_path)


@pytest.mark.parametrize(
    "name", ["../escaped.txt", "/tmp/gloveside-escaped.txt", "a/../../escaped.txt", "a\\..\\b.txt"]
)
def test_nothing_lands_outside(server, tmp_path, name):
    data = bundle(extra=[name])
    server.offer([entry(data)], data)
    with pytest.raises(EngineUnavailable, match="unsafe name"):
        get_model(tmp_path / "home", server.list_url, limits=QUICK)
    assert nothing_left(tmp_path / "home")
    assert [p.name for p in tmp_path.iterdir()] == ["home"]


def test_a_link_in_the_zip_is_refused(server, tmp_path):
    out = io.BytesIO(bundle())
    with zipfile.ZipFile(out, "a") as file:
        link = zipfile.ZipInfo(f"{NAME}/link")
        link.external_attr = 0o120777 << 16
        file.writestr(link, "/etc")
    server.offer([entry(out.getvalue())], out.getvalue())
    with pytest.raises(EngineUnavailable, match="unsafe name"):
        get_model(tmp_path, server.list_url, limits=QUICK)


@pytest.mark.parametrize("where", ["list", "model"])
def test_a_server_that_stalls_is_given_up(server, tmp_path, where):
    server.offer([entry(DATA)], DATA, **{"pause" if where == "model" else "list_pause": 60.0})
    began = time.monotonic()
    with pytest.raises(EngineUnavailable, match="did not answer in time"):
        get_model(tmp_path, server.list_url, limits=Limits(read=0.3))
    assert time.monotonic() - began < 30
    assert nothing_left(tmp_path)


def test_a_server_that_drips_is_given_up(server, tmp_path):
    server.offer([entry(DATA)], DATA, pause=0.4)
    with pytest.raises(EngineUnavailable, match=r"too slow: not done after 0\.1 seconds"):
        get_model(tmp_path, server.list_url, limits=Limits(read=20, model_total=0.1))
    assert nothing_left(tmp_path)


def test_a_full_disk(server, tmp_path, monkeypatch):
    server.offer([entry(DATA)], DATA)
    usage = type("Usage", (), {"free": 10})
    monkeypatch.setattr("shutil.disk_usage", lambda _: usage)
    with pytest.raises(EngineUnavailable, match="too little space"):
        get_model(tmp_path, server.list_url, limits=QUICK)
