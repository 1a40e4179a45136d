"""Other people's scores as charts: MusicXML, MIDI and ABC are read through music21."""
