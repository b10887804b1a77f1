"""The reading contract as models: what one note becomes. The JSON Schema is generated from these."""

from __future__ import annotations

from datetime import date as Date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, SerializerFunctionWrapHandler, model_serializer

Place = Annotated[str, Field(description="Canonical place: `hive 12`, `nuc 5`, `yard Quarry`, `hive A3`.")]
Number = int | float


class Sparse(BaseModel):
    """A model whose absent fields are left out of the JSON instead of being written as null."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    @model_serializer(mode="wrap")
    def _leave_out_absent(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        return {k: v for k, v in handler(self).items() if v is not None}


class EntryBase(Sparse):
    """What every entry has. on: date of the event; sure: calibrated probability 0..1 that the entry is right."""

    on: Date
    sure: float = Field(default=1.0, ge=0, le=1)


class QueenCells(Sparse):
    """Queen cells seen at an inspection."""

    count: int | None = Field(default=None, ge=0)
    type: Literal["swarm", "supersedure", "emergency"] | None = None
    done: Literal["left", "knocked down", "kept"] | None = None


class Inspection(EntryBase):
    """A look into a colony. Frames are counts and may be halves."""

    kind: Literal["inspection"] = "inspection"
    place: Place | None = None
    queen: Literal["seen", "not seen", "queenright", "queenless", "drone layer", "laying workers", "virgin"] | None = (
        None
    )
    eggs: bool | None = None
    brood_frames: Number | None = None
    bee_frames: Number | None = None
    honey_frames: Number | None = None
    pollen_frames: Number | None = None
    strength: Literal["weak", "fair", "strong"] | None = None
    temper: Literal["calm", "fair", "hot"] | None = None
    queen_cells: QueenCells | None = None
    signs: list[str] | None = None


class Feed(EntryBase):
    """Feed given."""

    kind: Literal["feed"] = "feed"
    place: Place | None = None
    feed: (
        Literal["syrup 1:1", "syrup 2:1", "syrup", "fondant", "pollen patty", "honey frame", "pollen frame"] | None
    ) = None
    amount: Number | None = None
    unit: Literal["l", "kg", "frame", "patty"] | None = None


class Treatment(EntryBase):
    """A treatment put in, taken out or given. product: active substance, or `strips`."""

    kind: Literal["treatment"] = "treatment"
    place: Place | None = None
    product: str | None = None
    method: Literal["trickle", "vapour", "pads", "strips"] | None = None
    step: Literal["in", "out", "given"] | None = None
    amount: Number | None = None
    unit: Literal["ml", "g"] | None = None


class Mites(EntryBase):
    """A mite count. percent: mites in 100 bees, computed."""

    kind: Literal["mites"] = "mites"
    place: Place | None = None
    method: Literal["wash", "sugar shake", "drop"] | None = None
    mites: int | None = Field(default=None, ge=0)
    bees: int | None = Field(default=None, ge=0)
    days: Number | None = None
    percent: float | None = None


class Builder(EntryBase):
    """A step at the cell builder."""

    kind: Literal["builder"] = "builder"
    place: Place | None = None
    step: Literal["excluder in", "slide in", "slide out", "stocked", "made queenless"]
    round: int | None = None


class Graft(EntryBase):
    """A graft. bars: cups on each bar; larvae: total."""

    kind: Literal["graft"] = "graft"
    round: int | None = None
    place: Place | None = None
    mother: Place | None = None
    bars: list[int] | None = None
    larvae: int | None = Field(default=None, ge=0)
    tool: str | None = None


class BarTake(Sparse):
    """Take on one bar."""

    bar: Literal["top", "middle", "bottom"] | int
    taken: int | None = Field(default=None, ge=0)
    of: int | None = Field(default=None, ge=0)


class Take(EntryBase):
    """Cells started out of cups grafted."""

    kind: Literal["take"] = "take"
    round: int | None = None
    bars: list[BarTake] | None = None
    taken: int | None = Field(default=None, ge=0)
    of: int | None = Field(default=None, ge=0)


class Cells(EntryBase):
    """A count of queen cells of a round."""

    kind: Literal["cells"] = "cells"
    round: int | None = None
    count: int | None = Field(default=None, ge=0)
    state: Literal["open", "capped", "ripe"] | None = None
    place: Place | None = None


class Incubator(EntryBase):
    """Cells or virgins into or out of the incubator."""

    kind: Literal["incubator"] = "incubator"
    round: int | None = None
    what: Literal["cells", "virgins"] | None = None
    count: int | None = Field(default=None, ge=0)
    step: Literal["in", "out", "emerged"] | None = None


class Plant(EntryBase):
    """Ripe cells planted."""

    kind: Literal["plant"] = "plant"
    round: int | None = None
    count: int | None = Field(default=None, ge=0)
    places: list[Place] | None = None


class Mating(EntryBase):
    """What was found in a mating nuc."""

    kind: Literal["mating"] = "mating"
    place: Place | None = None
    result: Literal["laying", "not laying", "virgin seen", "missing", "drone layer"]


class Mark(EntryBase):
    """A queen marked or clipped."""

    kind: Literal["mark"] = "mark"
    place: Place | None = None
    colour: Literal["white", "yellow", "red", "green", "blue"] | None = None
    clipped: bool | None = None


class Queen(EntryBase):
    """What happened to a queen. to: a place or a person."""

    kind: Literal["queen"] = "queen"
    place: Place | None = None
    step: Literal["caught", "caged", "introduced", "released", "killed", "died"]
    to: str | None = None


class Split(EntryBase):
    """A split made."""

    kind: Literal["split"] = "split"
    from_: Place | None = Field(default=None, alias="from")
    count: int | None = Field(default=None, ge=0)
    places: list[Place] | None = None


class Unite(EntryBase):
    """Two colonies put together."""

    kind: Literal["unite"] = "unite"
    from_: Place | None = Field(default=None, alias="from")
    into: Place | None = None


class Box(EntryBase):
    """A box put on or taken off."""

    kind: Literal["box"] = "box"
    place: Place | None = None
    box: Literal["super", "brood box"] | None = None
    step: Literal["on", "off"] | None = None
    count: int | None = Field(default=None, ge=0)


class Harvest(EntryBase):
    """Honey taken."""

    kind: Literal["harvest"] = "harvest"
    place: Place | None = None
    amount: Number | None = None
    unit: Literal["box", "frame", "kg"] | None = None


class Move(EntryBase):
    """Colonies moved."""

    kind: Literal["move"] = "move"
    places: list[Place] | None = None
    to: str | None = None


class Loss(EntryBase):
    """A colony lost."""

    kind: Literal["loss"] = "loss"
    place: Place | None = None
    cause: str | None = None


class Sale(EntryBase):
    """Goods sold. price: of each one, in the operation's currency."""

    kind: Literal["sale"] = "sale"
    goods: Literal["nuc", "queen", "virgin", "cell", "honey"] | None = None
    count: Number | None = None
    price: Number | None = None
    to: str | None = None


class Disease(EntryBase):
    """A disease suspected."""

    kind: Literal["disease"] = "disease"
    place: Place | None = None
    suspect: str | None = None
    signs: list[str] | None = None


class Weather(EntryBase):
    """Weather at the yard. temperature_c: degrees Celsius."""

    kind: Literal["weather"] = "weather"
    temperature_c: Number | None = None
    words: str | None = None


class Task(EntryBase):
    """Something to do. due: the date it is wanted."""

    kind: Literal["task"] = "task"
    text: str
    due: Date | None = None
    place: Place | None = None
    round: int | None = None


class Note(EntryBase):
    """Whatever was said that no rule claims."""

    kind: Literal["note"] = "note"
    text: str
    place: Place | None = None


Entry = Annotated[
    Inspection
    | Feed
    | Treatment
    | Mites
    | Builder
    | Graft
    | Take
    | Cells
    | Incubator
    | Plant
    | Mating
    | Mark
    | Queen
    | Split
    | Unite
    | Box
    | Harvest
    | Move
    | Loss
    | Sale
    | Disease
    | Weather
    | Task
    | Note,
    Field(discriminator="kind"),
]


class Question(Sparse):
    """Something asked of the record. Extra slots (say, `state`, `kind`, `colour`, `compare`) are allowed."""

    model_config = ConfigDict(extra="allow")

    ask: str
    round: int | None = None
    place: Place | None = None
    queen: str | None = None
    since: Date | None = None
    until: Date | None = None
    tool: str | None = None


class Order(Sparse):
    """An order on what was kept or asked before. `to` with `change`: the new value, a place in canonical form.

    said, was: the wrong value as said and as meant; about: words that name an older note of which no wrong
    value was said; on: the day of that note.
    """

    do: Literal["undo", "change", "yes", "no", "done", "snooze"]
    field: str | None = None
    to: bool | str | Number | None = None
    said: str | None = None
    was: bool | str | Number | None = None
    about: str | None = None
    on: Date | None = None


class Doubt(Sparse):
    """What must be asked before the note is kept. entry: index into `entries`; options: values that may be meant."""

    entry: int | None = None
    field: str
    said: str
    options: list[Any] = Field(default_factory=list)
    ask: str


class Reading(Sparse):
    """One note, read. `error` is a sentence when it could not be read."""

    source: str = ""
    raw: str = ""
    heard: str = ""
    engine: str | None = None
    seconds: float | None = None
    entries: list[Entry] = Field(default_factory=list)
    questions: list[Question] = Field(default_factory=list)
    orders: list[Order] = Field(default_factory=list)
    doubts: list[Doubt] = Field(default_factory=list)
    keep: bool = True
    error: str | None = None
    id: int | None = Field(default=None, description="Row of the kept note, when it was kept.")

    def to_json(self) -> str:
        """One line of JSON, in the field order and spelling of the contract."""
        return self.model_dump_json(by_alias=True)
