"""Compiled rules are kept for the next start, and made anew when anything they were made from has changed."""

from __future__ import annotations

import os
import pickle
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from gloveside.extract import compiled, lexicon, rules, talk_rules


def _told(made: Any) -> Any:
    """Rules are told apart by identity: compare what is in them."""
    if is_dataclass(made):
        return type(made).__name__, [_told(getattr(made, f.name)) for f in fields(made)]
    if isinstance(made, dict):
        return {key: _told(value) for key, value in made.items()}
    return [_told(one) for one in made] if isinstance(made, tuple) else made


def test_kept_rules_are_those_that_are_made(tmp_path: Path) -> None:
    for name, module in (("lexicon", lexicon), ("kinds", rules), ("talk", talk_rules)):
        made = compiled.kept(name, module._compiled, tmp_path, "one")
        again = compiled.kept(name, lambda: pytest.fail("made twice"), tmp_path, "one")
        assert _told(again) == _told(made)


def test_another_state_is_made_anew_and_the_old_file_goes(tmp_path: Path) -> None:
    assert compiled.kept("words", lambda: ["hive"], tmp_path, "one") == ["hive"]
    assert compiled.kept("words", lambda: ["nuc"], tmp_path, "two") == ["nuc"]
    assert [p.name for p in tmp_path.iterdir()] == ["words-two.pickle"]


@pytest.mark.parametrize("content", [b"", b"not a pickle", pickle.dumps(["hive"] * 100)[:-20]])
def test_a_spoilt_file_is_made_anew(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "words-one.pickle").write_bytes(content)
    assert compiled.kept("words", lambda: ["hive"], tmp_path, "one") == ["hive"]
    assert compiled.kept("words", lambda: [], tmp_path, "one") == ["hive"]


def test_a_folder_that_takes_no_files_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert compiled.kept("words", lambda: ["hive"], tmp_path / "file" / "below", "one") == ["hive"]


def test_the_state_follows_rule_files_and_modules(tmp_path: Path) -> None:
    (tmp_path / "data" / "kinds").mkdir(parents=True)
    module, rule = tmp_path / "rules.py", tmp_path / "data" / "kinds" / "feed.yaml"
    module.write_text("1")
    rule.write_text("kind: feed")
    states = [compiled.state_of(tmp_path)]
    assert states == [compiled.state_of(tmp_path)]
    rule.write_text("kind: fed")
    states.append(compiled.state_of(tmp_path))
    os.utime(module, ns=(1, 1))
    states.append(compiled.state_of(tmp_path))
    (tmp_path / "data" / "kinds" / "more.yaml").touch()
    states.append(compiled.state_of(tmp_path))
    assert len(set(states)) == 4
