"""The road map's layout: whatever a chart says, its page holds it whole, in order, each mark in its own bar.

PAGE_EXAMPLES=2000 in the environment looks at so many random charts, of up to sixty sections and forty fills,
instead of some shorter ones, and prints how many needed a second page or had to be smaller than reads.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from page_rules import breaches, lost_words
from random_songs import songs

from charts.song import Song
from render.page.roadmap import fit
from render.page.sheet import Options, sheet_of

LONG = "PAGE_EXAMPLES" in os.environ
EXAMPLES = int(os.environ.get("PAGE_EXAMPLES", "60"))
SECTIONS = st.sampled_from([1, 3, 8, 14, 14, 20, 30, 60] if LONG else [1, 2, 4, 8])
options = st.builds(
    Options,
    st.sampled_from(["A4", "Letter"]),
    st.booleans(),
    distance=st.sampled_from([0.5, 1.0, 1.0, 1.0, 2.0]),
)
taken: Counter[str] = Counter()


@pytest.fixture(scope="module", autouse=True)
def told() -> Iterator[None]:
    """Print which fall-backs were taken, after a long run."""
    yield
    if LONG:
        print(f"\nof {taken.pop('charts')} charts: {dict(taken.most_common())}")


@settings(
    max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=not LONG
)
@given(SECTIONS.flatmap(songs), options)
def test_any_song_lies_whole_on_its_page(song: Song, options: Options) -> None:
    """Nothing overlaps, nothing leaves the page, no mark is at another bar, no two places look alike."""
    fitted = fit(sheet_of(song, options), options, "page")
    taken.update(["charts", *fitted.plan.used])
    assert [] == [breach for page in fitted.pages for breach in breaches(page)]
    assert [] == lost_words(fitted.page, song)
