"""Records written to files that the readers read back exactly."""
