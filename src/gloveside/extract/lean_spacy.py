"""spaCy without its own command line, which would take a sixth of the time of a cold start for nothing we use.

`import spacy` also imports `spacy.cli` (downloads, training, templates, a project manager) for the sake of one name,
`spacy.info`. Here that part waits until somebody asks for it; then the real one is loaded and takes its place.
"""

from __future__ import annotations

import importlib
import sys
from types import ModuleType
from typing import Any

_PACKAGE, _INFO = "spacy.cli", "spacy.cli.info"


class _Waiting(ModuleType):
    """Stands for a module until one of its names is asked for."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(_real(self.__name__), name)


def _real(name: str) -> ModuleType:
    for waiting in (_PACKAGE, _INFO):
        if isinstance(sys.modules.get(waiting), _Waiting):
            del sys.modules[waiting]
    return importlib.import_module(name)


def _info(*args: Any, **kwargs: Any) -> Any:
    """`spacy.info`, loaded when it is called."""
    return _real(_INFO).info(*args, **kwargs)


def defer_command_line() -> None:
    """Let spaCy's command line wait, where spaCy is not loaded yet."""
    if "spacy" in sys.modules:
        return
    package, info = _Waiting(_PACKAGE), _Waiting(_INFO)
    package.__path__ = []
    info.__dict__["info"] = _info
    sys.modules[_PACKAGE], sys.modules[_INFO] = package, info
