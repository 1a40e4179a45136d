"""The road map's layout: whatever a chart says, its page holds it whole, in order, and readable where it can be.

PAGE_EXAMPLES=3000 in the environment looks at so many random charts, of up to fourteen sections, instead of
a few short ones.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from page_rules import breaches, lost_words
from random_songs import songs

from render.page.roadmap import fit
from render.page.sheet import Options, sheet_of

EXAMPLES = int(os.environ.get("PAGE_EXAMPLES", "20"))
MOST_SECTIONS = 14 if "PAGE_EXAMPLES" in os.environ else 5
options = st.builds(
    Options, st.sampled_from(["A4", "Letter"]), st.booleans(), distance=st.sampled_from([0.5, 1.0, 1.0, 2.0])
)


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))
@given(songs(MOST_SECTIONS), options)
def test_any_song_lies_whole_on_one_page(song, options):
    """Nothing overlaps, nothing is cut, nothing leaves the page."""
    page = fit(sheet_of(song, options), options, "page").page
    assert [] == breaches(page)
    assert [] == lost_words(page, song)
