"""Makes the pictures of the README from the demo season: the chat as on a phone, and the chart of the round.

Run by hand: `.venv/bin/python docs/make_pictures.py` (needs Debian's chromium for the chat's picture).
"""

from __future__ import annotations

import html
import shutil
import subprocess
import tempfile
from datetime import datetime
from pathlib import Path

from gloveside.bot import season
from gloveside.bot.charts.timeline import round_timeline
from gloveside.bot.messages import Incoming
from gloveside.bot.wiring import Workshop

HERE = Path(__file__).resolve().parent
SHOWN = ("note-007", "note-011", "note-012", "note-016")
STYLE = """
body { margin: 0; padding: 18px; width: 354px; background: #e9ece6; font: 15px/1.35 "DejaVu Sans", sans-serif; }
div { border-radius: 10px; padding: 8px 11px; margin: 7px 0; white-space: pre-line; max-width: 290px; }
.said { background: #d7e8c8; margin-left: auto; width: fit-content; }
.told { background: #fff; width: fit-content; }
.tap { display: inline-block; background: #fff; border: 1px solid #b9c2b0; padding: 3px 10px; margin: 0 6px 0 0; }
"""


def main() -> None:
    """Play the season's notes and draw those shown."""
    parts: list[str] = []
    with tempfile.TemporaryDirectory() as work:
        now = datetime.now().astimezone()
        with Workshop(Path(work) / "home", season.settings(), lambda: now) as workshop:
            with workshop.store.together():
                season.fill_register(workshop.store.places)
            for number, note in enumerate(season.notes(), 1):
                now = note.uploaded_at
                reply = workshop.conversation.hear(Incoming(1, 1, number, note.spoken_at, now, audio=note.audio))
                if note.name in SHOWN:
                    heard = workshop.store.notes.by_message("1", str(number))
                    text = (heard.heard if heard else None) or note.text
                    parts.append(f'<div class="said">▶ {html.escape(text)}</div>')
                    parts.append(f'<div class="told">{html.escape(reply.text)}</div>')
                    parts += [
                        f'<div class="tap">{html.escape(b.label)}</div>'
                        for row in reply.buttons
                        for b in row
                        if b.label != "Undo"
                    ]
            view = workshop.desk(datetime(2026, 11, 20).date()).round(3)
            if view is not None:
                (HERE / "round.png").write_bytes(
                    round_timeline(view.calendar, name="Round 3", today=datetime(2026, 11, 24).date())
                )
        page = Path(work) / "chat.html"
        page.write_text(f"<meta charset=utf-8><style>{STYLE}</style>{''.join(parts)}", encoding="utf-8")
        browser = shutil.which("chromium")
        if browser is None:
            print("No chromium here: the chat's picture is left as it was.")
            return
        subprocess.run(
            [browser, "--headless", "--no-sandbox", "--hide-scrollbars", "--window-size=390,1050",
             f"--screenshot={HERE / 'chat.png'}", page.as_uri()],
            check=True, capture_output=True, timeout=120,
        )  # fmt: skip


if __name__ == "__main__":
    main()
