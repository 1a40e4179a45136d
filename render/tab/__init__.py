"""The Tab key: scripts for the shells, how they are put in place, and the answer to what they ask."""
