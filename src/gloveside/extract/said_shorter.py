"""Words left out or pointed with because they were just said are put in again, so that each fact stands whole.

"On hive 1, on hive 2 and on hive 4", "3 cells planted in them", "introduced there", "and on Wednesday the slide".
"""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note
from gloveside.extract.places import PlaceSpan

ON = frozenset(("on", "in", "to", "into", "onto", "from", "off", "at", "for", "of"))
THEM = frozenset(("them", "these", "those"))
PLANTING = frozenset(("plant_strong", "plant_verb"))
MOVED_QUEEN = frozenset(("introduced", "put", "given", "moved", "placed", "released", "added", "run", "brought"))
THINGS = ("slide", "excluder", "box_noun", "strip_word", "feeder", "queen_noun")
ARTICLES = frozenset(("the", "a", "an", "my", "one"))


def whole(note: Note) -> str | None:
    """The text with what was left out said again; None where nothing was."""
    return _list(note) or _them(note) or _there(note) or _second_thing(note)


def _list(note: Note) -> str | None:
    """A preposition said before each place of a list: "on hive 1, on hive 2 and on hive 4" is one list."""
    places = [p for p in note.places if p.sort in ("hive", "nuc") and not p.deictic]
    runs: list[list[PlaceSpan]] = []
    for place in places:
        last = runs[-1][-1] if runs else None
        between = note.lower[last.end : place.start] if last else []
        lead = note.lower[runs[-1][0].start - 1] if runs and runs[-1][0].start else ""
        joined = between in ([",", lead], [lead], ["and", lead], [",", "and", lead])
        if last and lead in ON and last.sort == place.sort and joined:
            runs[-1].append(place)
        else:
            runs.append([place])
    for run in runs:
        joint = note.lower[run[-1].start - 2 : run[-1].start - 1]
        end = run[-1].end
        closed = end >= len(note.lower) or note.lower[end] in (*STOPS, ",") or any(d.start == end for d in note.dates)
        if len(run) > 1 and joint == ["and"] and closed:
            names = [note.text(p.start, p.end) for p in run]
            listed = f"{', '.join(names[:-1])} and {names[-1]}"
            return _join(note.text(0, run[0].start), listed, note.text(end, len(note.lower)))
    return None


def _them(note: Note) -> str | None:
    """Nucs named before, pointed at where cells are planted: "3 splits into nucs 7 and 8, cells planted in them"."""
    for at, word in enumerate(note.lower):
        lead = note.lower[at - 1 : at]
        if word not in THEM or lead not in (["in"], ["into"], ["to"], ["of"]):
            continue
        start = at - 1
        if lead == ["of"]:
            while start > 0 and note.lower[start - 1] in ("each", "all", "every", "one", "both", "1"):
                start -= 1
            if start == at - 1 or note.lower[start - 1 : start] not in (["in"], ["into"], ["to"]):
                continue
            start -= 1
        first = at
        while first > 0 and note.lower[first - 1] not in STOPS:
            first -= 1
        planted = [k for k in range(first, start) if PLANTING & set(note.lattice.edges[k])]
        named = [p for p in note.places if p.end <= start and p.sort == "nuc" and not p.deictic]
        run = _last_run(note, named)
        if not planted or not run or run[-1].start > planted[-1] or sum(len(p.places) for p in run) < 2:
            continue
        named_all = [note.text(p.start, p.end) for p in run]
        names = " and ".join(n for n in (", ".join(named_all[:-1]), named_all[-1]) if n)
        return _join(note.text(0, start), f"in {names}", note.text(at + 1, len(note.lower)))
    return None


def _last_run(note: Note, places: list[PlaceSpan]) -> list[PlaceSpan]:
    """The last places that were said in one list."""
    run = places[-1:]
    for place in reversed(places[:-1]):
        if not all(w in ("and", ",", "&", "into", "in") for w in note.lower[place.end : run[0].start]):
            break
        run.insert(0, place)
    return run


def _there(note: Note) -> str | None:
    """A queen brought from one colony to the one spoken of before: "the queen from nuc 8 was introduced there"."""
    for at, word in enumerate(note.lower):
        if word not in ("there", "here") or note.lower[at - 1 : at] == [] or note.lower[at - 1] not in MOVED_QUEEN:
            continue
        named = [p for p in note.places if p.end <= at and p.sort in ("hive", "nuc") and not p.deictic]
        if len(named) < 2 or note.lower[named[-1].start - 1] not in ("from", "of") or len(named[-2].places) != 1:
            continue
        target = note.text(named[-2].start, named[-2].end)
        queens = any("queen_noun" in note.lattice.edges[k] for k in range(named[-2].end, at))
        if queens and named[-2].places != named[-1].places:
            return _join(note.text(0, at), f"into {target}", note.text(at + 1, len(note.lower)))
    return None


def _second_thing(note: Note) -> str | None:
    """A second thing with its own day: "on Monday the excluder was put in on hive 7 and on Wednesday the slide"."""
    for day in note.dates:
        joint = day.start - 1
        new = _thing(note, day.end)
        if day.past is None or new is None or joint < 1 or note.lower[joint] not in ("and", ",", "then"):
            continue
        if new[1] < len(note.lower) and note.lower[new[1]] not in (*STOPS, ",", "both"):
            continue
        first = joint
        while first > 0 and note.lower[first - 1] not in STOPS:
            first -= 1
        before = [d for d in note.dates if first <= d.start < joint and d.past is not None]
        olds = [t for k in range(first, joint) if (t := _thing(note, k)) is not None]
        if len(before) != 1 or not olds:
            continue
        old = olds[0]
        dated = before[0]
        told = [
            note.text(left, right)
            for left, right in ((first, dated.start), (dated.end, old[0]))
            if right > left and dated.end <= old[0]
        ]
        if dated.end > old[0]:
            told = [note.text(first, old[0])]
            rest = _join(note.text(old[1], dated.start), note.text(dated.end, joint))
        else:
            rest = note.text(old[1], joint)
        again = _join(note.text(day.start, day.end), *told, note.text(*new), rest)
        behind = note.text(new[1], len(note.lower))
        for both in (", both ", "both "):
            behind = f" {behind.removeprefix(both)}".strip() if behind.startswith(both) else behind
        return _join(note.text(0, joint).rstrip(" ,"), f". {again}", behind)
    return None


def _thing(note: Note, at: int) -> tuple[int, int] | None:
    """A piece of gear with its article at a token."""
    if at + 1 >= len(note.lower) or note.lower[at] not in ARTICLES:
        return None
    edges = note.lattice.edges[at + 1]
    ends = [end for label in THINGS for end, _ in edges.get(label, ())]
    return (at, max(ends)) if ends else None


def _join(*parts: str) -> str:
    return " ".join(p for p in parts if p).replace(" ,", ",").replace(" .", ".")
