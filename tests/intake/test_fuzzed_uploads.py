"""A tenth of the uploads of tests/benchmarks/fuzzed_uploads.py: sentences or a draft only."""

import shutil
from pathlib import Path

import pytest
from hostile_uploads import LONGEST_S, ground, unfit, upload

_CHUNKS, _EACH = 8, 125


@pytest.mark.parametrize("chunk", range(_CHUNKS))
def test_whatever_is_uploaded_gives_sentences_or_what_would_change(
    tmp_path: Path, chunk: int
) -> None:
    against = ground(tmp_path)
    for number in range(chunk * _EACH, (chunk + 1) * _EACH):
        outcome = upload(number, against)
        shutil.rmtree(tmp_path / f"u{number}", ignore_errors=True)
        assert [one for one in outcome.sentences if unfit(one)] == [], number
        assert outcome.seconds < LONGEST_S, (number, outcome.kind)
        assert outcome.word == "read" or outcome.sentences, number
