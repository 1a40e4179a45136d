"""Changing a user's file by one value, and writing new ones. Everything else in the file stays as it is."""
