"""Gloveside: the spoken notebook of a beekeeper who raises queens."""

__version__ = "0.1.0"
