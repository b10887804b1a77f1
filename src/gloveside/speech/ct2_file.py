"""Reading and changing the weight file of a CTranslate2 model (`model.bin`), format 6.

Layout, all numbers little-endian; a name is a uint16 byte count (the closing NUL counted) and the bytes::

    uint32  format version                    6 here
    name    model specification               "WhisperSpec"
    uint32  revision of the specification
    uint32  number of variables, then for each:
        name    for example "decoder/layer_0/self_attention/linear_0/weight"
        uint8   rank, then one uint32 for each dimension
        uint8   type: 0 float32, 1 int8, 2 int16, 3 int32, 4 float16
        uint32  byte count, then the bytes, row by row
    uint32  number of aliases, then for each: name, name of the variable it stands for

Source: the layout as written by `ctranslate2.specs.model_spec` (`ModelSpec._serialize`) of CTranslate2 4.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path

import numpy as np

FORMAT = 6
TYPES: dict[int, np.dtype[np.generic]] = {
    code: np.dtype(name) for code, name in enumerate(("<f4", "<i1", "<i2", "<i4", "<f2"))
}


class NotAModelFile(ValueError):
    """The bytes are no CTranslate2 weights of format 6."""


@dataclass(frozen=True, slots=True)
class Variable:
    """Where one variable lies. offset: of its first byte in the file; shape: () for a scalar."""

    shape: tuple[int, ...]
    dtype: np.dtype[np.generic]
    offset: int
    size: int


class _Cursor:
    def __init__(self, data: bytes | bytearray) -> None:
        self.data, self.at = data, 0

    def number(self, kind: str) -> int:
        value = int(struct.unpack_from("<" + kind, self.data, self.at)[0])
        self.at += struct.calcsize("<" + kind)
        return value

    def name(self) -> str:
        return self.skip(self.number("H")).rstrip(b"\0").decode()

    def skip(self, size: int) -> bytes:
        if size > len(self.data) - self.at:
            raise NotAModelFile("it ends too early")
        self.at += size
        return bytes(self.data[self.at - size : self.at])


def variables(data: bytes | bytearray) -> dict[str, Variable]:
    """Every variable of a weight file by name. Raises NotAModelFile."""
    found: dict[str, Variable] = {}
    cursor = _Cursor(data)
    try:
        if (version := cursor.number("I")) != FORMAT:
            raise NotAModelFile(f"its format is {version}, not {FORMAT}")
        cursor.name()
        cursor.number("I")
        for _ in range(cursor.number("I")):
            name = cursor.name()
            shape = tuple(cursor.number("I") for _ in range(cursor.number("B")))
            dtype = TYPES[cursor.number("B")]
            size = cursor.number("I")
            if size != int(np.prod(shape, dtype=np.int64)) * dtype.itemsize or size > len(data) - cursor.at:
                raise NotAModelFile(f"the size of {name} does not fit")
            found[name] = Variable(shape, dtype, cursor.at, size)
            cursor.at += size
    except (struct.error, KeyError, UnicodeDecodeError) as error:
        raise NotAModelFile(str(error)) from error
    return found


def matrix(data: bytes | bytearray, variable: Variable) -> np.ndarray[tuple[int, ...], np.dtype[np.generic]]:
    """A view of a variable's numbers in its own shape and type."""
    count = int(np.prod(variable.shape, dtype=np.int64))
    return np.frombuffer(data, variable.dtype, count, variable.offset).reshape(variable.shape)


def load(path: Path) -> bytearray:
    """A weight file's bytes, ready to be changed in place."""
    return bytearray(path.read_bytes())
