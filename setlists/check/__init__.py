"""The rules between songs, one a file."""
