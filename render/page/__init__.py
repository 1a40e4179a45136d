"""Pages: one song on one sheet for the stand, the set sheet for the floor, the gig folder.

``documents.road_map`` and ``folder.folder_of`` print; everything before them is measured data:

* ``sheet`` gathers what a song's page says (``form``, ``marks``, ``notes``, ``fills``), ``plan`` what it
  may give up;
* ``roadmap`` finds the largest scale (``head_foot``, ``rows``, ``strips``, ``lanes``, ``fill_blocks``);
* ``engraving`` and ``notation_table`` set fills (``rhythm``, ``staff``, ``levels``, ``ink``);
* ``setsheet`` lays out the sheet for the floor (``setwords``, ``setlines``);
* ``model`` is the page as boxes, lines, shapes and words, ``canvas`` writes it, ``report`` tells its sizes.
"""
