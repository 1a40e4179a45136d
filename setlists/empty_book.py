"""A new empty book: its settings as comments, its folders, and in each a few lines to start from."""

from __future__ import annotations

import os
from pathlib import Path

from charts.book import is_book
from charts.quoting import scalar
from charts.source import FeelmapError
from charts.wording import control_in
from charts.writing import write_together

BOOK = """\
# A book is one folder: charts/, setlists/, fills/ and this file. A line after a # says what holds unless you
# say otherwise; take its # away to change it.
name: {name}
# paper: A4             # or Letter
# distance: 1.0         # metres from the eyes to the stand; print sizes follow from it
# kit: right handed     # or left handed
# count: 1 trip let     # how triplets are counted aloud; or 1 & a
# tolerance: 20         # ms that a stroke may be off the grid before it is called a clash

# What your hands and feet can do, in strokes per second.
# player: {{hand: 7.1, hand-double: 14.2, foot: 6.6, foot-double: 11.1}}
"""
CHARTS = """\
# Charts

One song a file, `NAME.yaml`. The quickest start is one line:

    feelmap new "Our Song" --feel shuffle --tempo 120 --form "Intro (4), Verse (8), Chorus (8) x2"

A whole chart looks like this:

```yaml
title: Our Song
key: A
tempo: 120                # beats per minute
feel: shuffle
form:
  - Intro (4): {cue: guitar alone, dynamics: p}
  - Verse (8)
  - Chorus (8) x2:
      hits: 3.1 3.2&
      fill: stairs in threes
  - Verse
  - Chorus: {dynamics: ff}
```

And this one uses every key there is; all but title, tempo, feel and form may be left out:

```yaml
title: The Long Way Round
by: The Quay Street Six
key: F# minor
meter: 4/4                # 4/4 by default; 7/8 (2+2+3) says how its eighths are grouped
tempo: 104                # beats per minute: quarters, in 7/8 too; dotted quarters in 6/8 and 12/8
feel: straight eighths    # feelmap feels lists them
count-in: 2 bars          # 3 beats, none; 1 bar by default
pickup: 1 beat            # what sounds before bar 1
groove: plain rock        # a pattern's name, or plain words
ending: cold on 1
notes: watch the singer before the bridge
form:
  - Verse (8): {cue: hats closed, dynamics: mp to f}
  - Chorus (4+4) x2:                            # eight bars in two phrases, twice
      tempo: 108                                # 104 to 108 changes evenly over the section
      cues: {1: crash and ride, 5.3: look up}   # at their BAR, or BAR.BEAT
      hits: 3.1 3.2& 4.1                        # & is the upbeat
      stops: 7.1-7.2                            # the band stops there
      fill: unison beats                        # ends with the section, on its last pass
  - Verse
  - Bridge (6):
      feel: half-time
      meter: 6/8
      groove: slow six
      odd-bars: {6: 3/8}
  - Solo (12) x2 open: {until: the nod}         # twice on the clock, as often as it takes on stage
  - Last chorus (10):
      like: Chorus                              # with another name, and ten bars instead of eight
      tempos: {9: 108 to 72}                    # slows down from bar 9 to the end
      holds: 10.4                               # a hold; {10.4: 3} counts it as 3 seconds
      fills: {4: four on the snare, 8: {use: eighths down, pass: last}}
```

`feelmap check` finds what does not hold together.
"""
SETLISTS = """\
# Set lists

One gig a file, `NAME.yaml`; songs by their titles.

```yaml
gig: Quay Street Social Club
date: 2026-12-04
start: 20:30
ends: 23:00               # the venue's curfew, if any
between: 20 s             # talk and changeover after each song
sets:
  - name: First set
    length: 45 min
    songs:
      - Our Song: {key: G, tempo: 118, notes: capo 3, segue: yes}   # tonight; straight into the next
      - A song without a chart: {length: "3:30", key: A, tempo: 92}
  - break: 20 min
  - name: Second set
    start: 22:00            # where it does not just follow
    songs:
      - Our Song: {skip: Verse, count-in: none, feel: swing, between: 60 s}
```

`feelmap gig NAME` shows the running order with its times, `feelmap folder NAME` prints it.
"""
FILLS = """\
# Fills and grooves

Your own patterns, in one file or many, `NAME.yaml`. A row per drum, a group of cells per beat, groups
separated by `|`; a capital letter is an accent, `g` a ghost note, `f` a flam, `d` a drag.

```yaml
fills:
  our turnaround:
    suits: out of the bridge
    feels: [shuffle]        # or a family of feels; suggest offers it there first
    rows: |
      SD  Ooo|g.o|...|...
      FT  ...|...|oo.|ooo
      BD  ...|.o.|..o|...
      stick RLR|L.R|RL.|RLR
```

`feelmap fills` lists all there are, `feelmap fit "our turnaround" --feel shuffle --tempo 120` tries one.
"""
README = "README.md"
TEXTS = {
    f"charts/{README}": CHARTS,
    f"setlists/{README}": SETLISTS,
    f"fills/{README}": FILLS,
    "book.yaml": BOOK,
}


def start_book(folder: Path) -> list[Path]:
    """Write a new empty book into a folder, made where it is missing; the files written, book.yaml last.

    :raises FeelmapError: a book or one of the files is there already; nothing of it is left.
    """
    if folder.is_dir() and is_book(folder):
        raise FeelmapError(f"{folder} is a book already", "write a chart into it: feelmap new TITLE")
    paths = [folder / name for name in TEXTS]
    taken = next((path for path in paths if os.path.lexists(path)), None)
    if taken is not None:
        raise FeelmapError(f"{taken} is already there", "name a folder without it")
    name = Path(os.path.realpath(folder)).name or "Our book"
    if control_in(name):
        raise FeelmapError("a book's folder needs a name in plain letters", "choose another name")
    said = {"name": scalar(name, flow=False)}
    texts = (text.format(**said) if text is BOOK else text for text in TEXTS.values())
    files = {path: text.encode("utf-8") for path, text in zip(paths, texts, strict=True)}
    write_together(files, replace=False, folders=True)
    return paths
