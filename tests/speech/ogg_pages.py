"""Changing the stated length of an OGG file (RFC 3533, section 6: the page header)."""

import struct

POLYNOMIAL = 0x04C11DB7


def checksum(page):
    """CRC-32 as RFC 3533 asks: polynomial 0x04c11db7, no reflection, start and final value 0."""
    value = 0
    for byte in page:
        value ^= byte << 24
        for _ in range(8):
            value = (value << 1) ^ (POLYNOMIAL if value & 0x80000000 else 0)
            value &= 0xFFFFFFFF
    return value


def with_last_granule(data, granule):
    """The same file, its last page stating that the sound ends at `granule` (in samples at 48 kHz for Opus)."""
    at = data.rindex(b"OggS")
    page = bytearray(data[at:])
    page[6:14] = struct.pack("<q", granule)
    page[22:26] = bytes(4)
    page[22:26] = struct.pack("<I", checksum(page))
    return data[:at] + bytes(page)
