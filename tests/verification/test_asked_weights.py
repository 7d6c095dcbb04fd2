"""The weights that are shipped say what the script learns from the examples."""

import pytest

from generate.asked_weights import examples, learn
from jounce.asked.understanding import learned, packed, understood
from tests.asked.wordings import LANGUAGES, asked, foreign

pytestmark = pytest.mark.validation_long


def test_the_script_gives_what_is_shipped():
    fresh, kept = learn(examples()), learned()
    assert (fresh.kinds, dict(fresh.places), fresh.margin) == (kept.kinds, dict(kept.places), kept.margin)
    texts = [text for language in LANGUAGES for text, _ in asked(language)]
    texts += [text for language in LANGUAGES for text in foreign(language)]
    differ = [text for text in texts if understood(text, fresh) != understood(text, kept)]
    assert len(differ) <= 0.01 * len(texts)  # shares of the third decimal may be rounded otherwise elsewhere
    assert all(understood(text, fresh).kind == understood(text, kept).kind for text in texts)
    assert len(packed(fresh)) < 1_000_000
