"""Project files and the shop profile, read into records with every mistake as an issue."""
