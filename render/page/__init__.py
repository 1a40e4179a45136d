"""Pages: one song on one sheet for the stand, the set sheet for the floor, the gig folder.

``documents.road_map`` and ``folder.folder_of`` print; everything before them is measured data:

* ``sheet`` gathers what a song's page says (``marks``, ``fills``);
* ``roadmap`` takes the first ``plan`` that fits: ``head_foot``, ``row_layout`` (``strips``, ``boxes``,
  ``lanes``, ``names``), the fills at the foot;
* ``fill_rows`` draws fills, ``hits`` rhythm over bars (``voice``, ``signs``);
* ``setsheet`` lays out the sheet for the floor (``setwords``, ``setlines``), ``setback`` what is at its foot
  or on its back: the ``arc`` of the night and what has changed;
* ``model`` is the page as boxes, lines, shapes and words, ``canvas`` writes it, ``report`` gives its sizes.
"""
