"""Words on pages: faces and fallbacks, missing characters, lines that flow, signs."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from render.page.fonts import BOLD, REGULAR, faces, missing_from, set_text, width_of
from render.page.signs import MISSING
from render.page.text import flow, framed, line_width, natural_width, sign, tied, unbroken, words


def faces_of(text):
    return [(run.text, run.face.key.split("-")[0]) for run in set_text(text).runs]


@pytest.mark.parametrize(
    "text", ["Harbour Lights", "don’t “stop” — now…", "Ærøskøbing, Łódź", "½ × 3 · 100 %", "Ñandú"]
)
def test_latin_is_set_in_the_first_face(text):
    """Curly quotes, dashes and accents too."""
    assert {"AtkinsonHyperlegible"} == {face for _, face in faces_of(text)}


@pytest.mark.parametrize("text", ["Καλημέρα", "Тихий", "Đường"])
def test_other_alphabets_fall_back_as_whole_words(text):
    """One strange letter takes its word along, so that no word mixes faces."""
    assert [(text, "FiraSans")] == faces_of(text)


def test_only_the_strange_word_changes_face():
    """Its neighbours stay as they are."""
    assert [("Auf ", "AtkinsonHyperlegible"), ("Đường", "FiraSans")] == faces_of("Auf Đường")


def test_fallback_capitals_are_as_tall():
    """The fallback is scaled to the first face's capitals."""
    run = set_text("Ж").runs[0]
    assert run.face.capital * run.scale == pytest.approx(faces(REGULAR)[0].capital)


@pytest.mark.parametrize("char", ["♩", "♪", "♯", "♭", "♮", "→", "↓", "■", "▼"])
def test_notes_accidentals_arrows_and_shapes_are_in_the_music_font(char):
    """No typeface has them; none is missing."""
    assert [(char, "FeelmapSigns")] == faces_of(char)
    assert () == missing_from(char)


@pytest.mark.parametrize(("text", "missing"), [("🥁 solo 🥁", ("🥁",)), ("日本", ("日", "本")), ("ok", ())])
def test_characters_no_font_has_are_named_once_and_boxed(text, missing):
    """They are printed as the visible box, each at its place."""
    assert missing == missing_from(text)
    assert text.count("🥁") + len([c for c in text if c in "日本"]) == sum(
        run.text.count(MISSING) for run in set_text(text).runs
    )


@pytest.mark.parametrize(
    ("text", "same"), [("a\u2011b", "a-b"), ("a\u00a0b", "a b"), ("e\u0301", "é"), ("a\u200db\ufe0f", "ab")]
)
def test_kin_of_a_character_print_as_it(text, same):
    """Hyphens, spaces and composed letters; joiners and variation selectors print nothing."""
    assert faces_of(same) == faces_of(text)


def test_a_half_note_survives_normalising():
    """U+1D15E decomposes under every normal form; it is printed whole all the same."""
    assert [("\ue1d3", "FeelmapSigns")] == faces_of("\U0001d15e")


@given(st.text(max_size=40))
@settings(max_examples=200, deadline=None)
def test_any_text_is_set(text):
    """Width is the runs' own, and nothing is dropped but what prints nothing anywhere."""
    setting = set_text(text)
    assert setting.width == pytest.approx(width_of(text))
    assert setting.width >= 0


def lines(pieces, width):
    return [" ".join(piece.text for _, piece in line) for line in flow(pieces, width)]


def test_words_flow_and_keep_their_order():
    """A line takes what fits."""
    assert ["hats closed", "open up"] == lines(words("hats closed open up", "cue"), 6.0)


def test_a_word_wider_than_the_line_is_broken_between_letters():
    """No letter is lost, no part is wider than the line."""
    found = flow(words("abcdefghijklmnop", "cue"), 2.0)
    assert "abcdefghijklmnop" == "".join(piece.text for line in found for _, piece in line)
    assert all(line_width(line) <= 2.0 for line in found)


def test_tied_pieces_move_together():
    """A label does not stay after its value."""
    label = tied([unbroken("count", "x"), unbroken("1 2 3 4", "x", space=0.3)])
    assert ["key A", "count 1 2 3 4"] == lines([*words("key A", "x"), *label], 6.5)


def test_a_group_too_wide_for_any_line_is_broken_all_the_same():
    """Better broken than outside."""
    label = tied([unbroken("count", "x"), unbroken("1 2 3 4", "x", space=0.3)])
    assert ["count", "1 2 3 4"] == lines(label, 4.0)


@given(st.lists(st.text("abcdefg ", max_size=12), max_size=8), st.floats(1.0, 30.0))
@settings(max_examples=150, deadline=None)
def test_lines_hold_their_words_and_no_more(texts, width):
    """In any width: every letter in order, every line within the width."""
    found = flow([piece for text in texts for piece in words(text, "cue")], width)
    assert "".join("".join(texts).split()) == "".join(piece.text for line in found for _, piece in line)
    assert all(
        line_width(line) <= width + 1e-6 or (len(line) == 1 and len(line[0][1].text) == 1) for line in found
    )


def test_a_ground_reaches_past_its_words():
    """A sign's and a frame's, on both sides alike."""
    assert width_of("6/8", BOLD) < natural_width(sign([unbroken("6/8", "meter")]))
    assert natural_width(sign([unbroken("6/8", "meter")])) == framed("6/8", "meter", 1.0).width
