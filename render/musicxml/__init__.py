"""A chart as MusicXML 4.0: what the drums play, bar by bar, with every sign a player needs."""
