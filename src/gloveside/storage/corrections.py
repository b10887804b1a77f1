"""Putting a value into an entry: which entries of a note are meant, and the entry with the new value, checked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from pydantic import ValidationError

from gloveside.extract.models import Doubt, Entry
from gloveside.storage.entries import entry_adapter
from gloveside.storage.errors import Refused
from gloveside.storage.views import entry_models, fields_of, kind_of

_FIELDS = {kind_of(model): frozenset(fields_of(model)) | {"on"} for model in entry_models()}
CARRIED = frozenset({"place", "round"})
"""Fields that stay in force from one entry of a note to the next until another value is said."""


def as_fields(entry: Entry) -> dict[str, Any]:
    """An entry as a plain dictionary spelt as in the contract."""
    fields: dict[str, Any] = entry_adapter.dump_python(entry, mode="json", by_alias=True)
    return fields


def has_field(kind: str, field: str) -> bool:
    """Whether entries of a kind can hold a field; a dotted name asks for its first part."""
    return field.split(".")[0] in _FIELDS[kind]


def value_of(fields: dict[str, Any], field: str) -> Any:
    """The value at a field or dotted field (`queen_cells.count`), or None."""
    found: Any = fields
    for part in field.split("."):
        found = found.get(part) if isinstance(found, dict) else None
    return found


def with_value(fields: dict[str, Any], field: str, to: Any, options: Sequence[Any] = ()) -> dict[str, Any]:
    """The same entry with a field put right, and with what is computed from it.

    fields: spelt as in the contract; field: its name, or dotted (`queen_cells.count`).
    to: the value; for a list (`places`) one value takes the place of whichever of `options` is in the list.
    Raises Refused with a sentence when the entry cannot hold that value.
    """
    kind = fields["kind"]
    if not has_field(kind, field):
        raise Refused(f"An entry of kind {kind} has no {field}. Say which entry to change, or say it anew.")
    changed = dict(fields)
    *path, last = field.split(".")
    target = changed
    for part in path:
        inner = target.get(part)
        target[part] = dict(inner) if isinstance(inner, dict) else {}
        target = target[part]
    target[last] = _in_list(target.get(last), to, options)
    _recompute(changed, field)
    try:
        return as_fields(entry_adapter.validate_python(changed))
    except ValidationError as error:
        raise Refused(
            f"{to!r} cannot be the {field} of an entry of kind {kind}: {error.errors()[0]['msg']}."
        ) from error


def _in_list(old: Any, to: Any, options: Sequence[Any]) -> Any:
    if isinstance(to, date):
        to = to.isoformat()
    if not isinstance(old, list) or isinstance(to, list):
        return to
    if any(option in old for option in options):
        swapped = [to if value in options else value for value in old]
        return list(dict.fromkeys(swapped))
    return [*old, to] if options and to not in old else [to]


def _recompute(fields: dict[str, Any], field: str) -> None:
    """Totals and shares that the contract computes from the field that was put right."""
    kind = fields["kind"]
    if kind == "mites" and field in ("mites", "bees"):
        fields.pop("percent", None)
        if fields.get("bees") and fields.get("mites") is not None:
            fields["percent"] = round(100 * fields["mites"] / fields["bees"], 2)
    elif kind == "graft" and field == "bars" and isinstance(fields.get("bars"), list):
        fields["larvae"] = sum(fields["bars"])
    elif kind == "take" and field == "bars" and isinstance(fields.get("bars"), list):
        for total, part in (("taken", "taken"), ("of", "of")):
            counts = [bar.get(part) for bar in fields["bars"] if isinstance(bar, dict)]
            if counts and all(count is not None for count in counts):
                fields[total] = sum(counts)


def answer(entries: list[dict[str, Any]], doubt: Doubt, value: Any) -> list[dict[str, Any]]:
    """The entries of a note after one doubt is answered.

    A place or round goes on to the following entries that carried the same (or no) value. A doubt without an entry is
    about every entry that lacks the field, else about those that hold one of its options; one about the `text` of the
    note changes no entry.
    """
    field = doubt.field
    if doubt.entry is not None:
        if not 0 <= doubt.entry < len(entries):
            raise Refused("That question is about an entry which is not in the note any more. Say the note anew.")
        chosen = [doubt.entry]
        if field in CARRIED:
            chosen += _carried(entries, doubt.entry, field)
    else:
        able = [i for i, fields in enumerate(entries) if has_field(fields["kind"], field)]
        lacking = [i for i in able if value_of(entries[i], field) is None]
        holding = [i for i in able if value_of(entries[i], field) in doubt.options]
        # A doubt about the words of the whole note: the one reading that was offered is the one that stands there.
        if value in doubt.options and (field == "text" or not able):
            return entries
        chosen = lacking or holding or able[:1]
        if not chosen:
            raise Refused(f"Nothing in that note has a {field}. Say the note anew.")
    return [
        with_value(fields, field, value, doubt.options) if i in chosen else fields for i, fields in enumerate(entries)
    ]


def _carried(entries: list[dict[str, Any]], start: int, field: str) -> list[int]:
    before = value_of(entries[start], field)
    found: list[int] = []
    for i in range(start + 1, len(entries)):
        if not has_field(entries[i]["kind"], field):
            continue
        if value_of(entries[i], field) != before:
            break
        found.append(i)
    return found


def meant_by_change(entries: Sequence[dict[str, Any]], field: str, was: Any = None) -> list[int]:
    """Indexes of a note's entries that a change of a field is about.

    Those that hold `was` where it is given; else those that hold any value, if it is one and the same; else, when none
    holds one, those that can. Raises Refused when it cannot be told.
    """
    able = [i for i, fields in enumerate(entries) if has_field(fields["kind"], field)]
    if was is not None:
        holding = [i for i in able if was in _as_list(value_of(entries[i], field))]
        if not holding:
            raise Refused(f"That note has no {field} {was}. Say which note, or say it anew.")
        return holding
    holding = [i for i in able if value_of(entries[i], field) is not None]
    values = {str(value_of(entries[i], field)) for i in holding}
    if len(values) > 1:
        listed = ", ".join(sorted(values))
        raise Refused(
            f"That note has more than one {field}: {listed}. Say which one, as in: {next(iter(values))} was wrong."
        )
    if not able:
        raise Refused(f"Nothing in that note has a {field}. Say which note to change.")
    return holding or able


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]
