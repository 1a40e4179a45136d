"""What happens in time at the terminal: the count-in that flashes, and tapping a tempo."""
