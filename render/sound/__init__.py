"""What is heard: the click of a song, drum voices made of numbers, practice loops, WAV files."""
