"""Views that read well in any SQLite browser, one for each kind of entry, generated from the models of the contract."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import typing
from functools import cache

import sqlite_utils
from pydantic import BaseModel

from gloveside.extract import models

_PLAIN = 'e.id AS entry, e.on_date AS "on"'
_CURRENT = "FROM entries e JOIN notes n ON n.id = e.note_id WHERE e.ended_at IS NULL"


def entry_models() -> tuple[type[BaseModel], ...]:
    """The models of all kinds of entry, in the order of the contract."""
    union = typing.get_args(models.Entry)[0]
    return tuple(typing.get_args(union))


def kind_of(model: type[BaseModel]) -> str:
    """The kind that a model describes, such as `inspection`."""
    return str(model.model_fields["kind"].default)


def fields_of(model: type[BaseModel]) -> list[str]:
    """Names of a model's own fields as they stand in the JSON, `kind`, `on` and `sure` left out."""
    names = [field.alias or name for name, field in model.model_fields.items()]
    return [name for name in names if name not in ("kind", "on", "sure")]


@cache
def definitions() -> dict[str, str]:
    """Name and SQL of every view."""
    found = {
        "kept_entries": (
            f"SELECT {_PLAIN}, e.kind AS kind, e.place AS place, e.round AS round, e.data AS details, "
            "n.user AS operator, n.spoken_at AS spoken_at_utc, "
            f"e.kept_at AS kept_at_utc, coalesce(n.heard, n.text) AS said, n.id AS note {_CURRENT}"
        ),
        "waiting_notes": (
            "SELECT n.id AS note, n.chat, n.user AS operator, n.spoken_at AS spoken_at_utc, n.state, "
            "coalesce(n.heard, n.text) AS said, group_concat(d.ask, ' / ') AS asked "
            "FROM notes n LEFT JOIN doubts d ON d.note_id = n.id AND d.state = 'open' "
            "WHERE n.state IN ('new', 'asked') GROUP BY n.id"
        ),
        "superseded_entries": (
            f"SELECT {_PLAIN}, e.kind AS kind, e.place AS place, e.round AS round, e.data AS details, "
            "e.superseded_by AS superseded_by, e.ended_at AS ended_at_utc, a.what AS ended_by, "
            "coalesce(n.heard, n.text) AS said FROM entries e JOIN notes n ON n.id = e.note_id "
            "LEFT JOIN acts a ON a.id = e.ended_by_act WHERE e.ended_at IS NOT NULL"
        ),
        "current_settings": (
            "SELECT key, value, at, by FROM chosen_settings "
            "WHERE id IN (SELECT max(id) FROM chosen_settings GROUP BY key)"
        ),
        "due_reminders": (
            "SELECT id, due_at AS due_at_utc, subject, step, step_date, moment, text, chat FROM reminders "
            "WHERE state = 'waiting' ORDER BY due_at"
        ),
    }
    for model in entry_models():
        columns = ", ".join(f'json_extract(e.data, \'$."{name}"\') AS "{name}"' for name in fields_of(model))
        kind = kind_of(model)
        found[f"kept_{kind}"] = (
            f"SELECT {_PLAIN}, {columns}, n.user AS operator, coalesce(n.heard, n.text) AS said, n.id AS note "
            f"{_CURRENT} AND e.kind = '{kind}'"
        )
    return {name: f'CREATE VIEW "{name}" AS {sql}' for name, sql in found.items()}


def _present(db: sqlite_utils.Database) -> dict[str, str]:
    return dict(db.conn.execute("SELECT name, sql FROM sqlite_master WHERE type = 'view'"))


def stale(db: sqlite_utils.Database) -> bool:
    """Whether a view is missing or was made from older models."""
    present = _present(db)
    return any(present.get(name) != sql for name, sql in definitions().items())


def rebuild(db: sqlite_utils.Database) -> None:
    """Make every view anew where it differs. Views of other names (the operator's own) stay."""
    present = _present(db)
    for name, sql in definitions().items():
        if present.get(name) == sql:
            continue
        db.conn.execute(f'DROP VIEW IF EXISTS "{name}"')
        db.conn.execute(sql)
