"""tonight: a chart still holds together with this gig's changes.

Listens for: every song that this gig changes (tempo, feel, sections left out), checked as it is
played tonight: fills that clash with tonight's feel, strokes too fast at tonight's tempo, tempos
out of range. As serious as the worst of them.

Why it matters: a straight tune played as a shuffle for one night keeps its straight fills, unless
somebody changes them.

Wrong:
    # Tin Roof is in straight eighths and has a fill in sixteenths
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {feel: shuffle}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {feel: straight sixteenths}
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from charts.check.run import check_song
from charts.source import ERROR, NOTE, WARNING, Finding
from charts.wording import figure, listed
from setlists.check.subject import Subject, rule
from setlists.gig import GigSong

MOST_LINES = 6


@rule("tonight")
def tonight(subject: Subject) -> Iterator[Finding]:
    for song in subject.gig.songs:
        changes = song.item.changes
        if song.chart is None or song.song is None:
            continue
        if changes.feel is None and changes.tempo is None and not changes.skip:
            continue
        new = _new(subject, song)
        if new:
            yield _told(subject, song, new)


def _new(subject: Subject, song: GigSong) -> list[Finding]:
    """Errors and warnings on the song as played tonight that the chart does not have."""
    assert song.chart is not None  # asked before
    assert song.song is not None
    found = [finding for finding in check_song(subject.book, song.song) if finding.level != NOTE]
    known = {_place(finding) for finding in check_song(subject.book, song.chart)} if found else set()
    return [finding for finding in found if _place(finding) not in known]


def _place(finding: Finding) -> Hashable:
    span = finding.span
    return finding.rule, finding.level, (span.line, span.column) if span else finding.message


def _told(subject: Subject, song: GigSong, new: list[Finding]) -> Finding:
    changes = song.item.changes
    how = [f"in {changes.feel.name}"] if changes.feel else []
    how += [f"at {figure(changes.tempo)}"] if changes.tempo else []
    how += [f"without {listed(changes.skip)}"] if changes.skip else []
    where = ", ".join(dict.fromkeys(finding.where.section or "the song" for finding in new))
    things = "1 thing does" if len(new) == 1 else f"{len(new)} things do"
    level = ERROR if any(finding.is_error for finding in new) else WARNING
    key = "feel" if changes.feel else "tempo" if changes.tempo else "skip"
    lines = [(finding.where.section or "", _line(finding)) for finding in new[:MOST_LINES]]
    if len(new) > MOST_LINES:
        lines.append(("", f"and {len(new) - MOST_LINES} more"))
    message = f"{' '.join(how)}, {things} not hold that the chart has right: in {where}"
    short = f"{len(new)} of its fills and tempos do not fit tonight"
    return subject.finding("tonight", level, song, message, key=key, lines=tuple(lines), short=short)


def _line(finding: Finding) -> str:
    fill = finding.detail.get("fill")
    return f"{fill}: {finding.message}" if fill else finding.message
